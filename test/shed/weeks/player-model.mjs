// A player who learns, for weeks in virtual time. All constants are ours, chosen to be plausible and not measured on anybody.

import { quarterTempo } from '../../../dist/chart/chart.js';
import { unroll } from '../../../dist/chart/unroll.js';
import { changesOf } from '../../../dist/hand/changes.js';
import { mandolin } from '../../../dist/hand/instrument.js';
import { planHand } from '../../../dist/hand/plan.js';
import { changeNames } from '../../../dist/shed/change-id.js';
import { beginLadder, climb, usualLadder } from '../../../dist/shed/ladder.js';
import { seeded } from '../../../dist/shed/seeded.js';
import { dayOf } from '../../../dist/shed/summary.js';
import { passMinutes } from '../../../dist/shed/way-drill.js';
import { keyName } from '../../../dist/theory/key.js';

/**
 * What a player is like. `first`: the tempo (quarters a minute) at which somebody who never did a thing plays half of the passes
 * clean; `most`: what practice comes to in the end; `gain`: the share of what is left to `most` that a clean pass brings, a missed one
 * half as much; `loss`: the share of what was gained that the first night takes, less with each day of practice.
 */
export const beginner = { first: 52, most: 135, gain: 0.03, loss: 0.12, marks: 0.9 };
export const advanced = { first: 185, most: 270, gain: 0.03, loss: 0.06, marks: 0.9 };

/** The width of the curve: at so much above the threshold, as a share of it, the odds are down by e. */
const width = 0.09;
/** Answering after a pass, and counting in, minutes. */
const between = 5 / 60;

/** A player with nothing in the hands. The same seed has the same luck. */
export function newPlayer(kind, seed) {
  return { kind, random: seeded(seed), skills: new Map() };
}

/** The single things a drill asks for: the right hand's pattern, every change of the hand, and where on the neck. */
function thingsOf(drill) {
  const { chart } = drill;
  const alone = drill.kind === 'damped' || chart.pattern === 'rest';
  const changes =
    alone && drill.kind === 'damped' ? [] : changeNames(plan(chart).changes).map(({ id }) => id);
  const place = drill.kind === 'damped' ? [] : [`key ${keyName(chart.key)}`];
  return [`pattern ${chart.pattern ?? 'low-chop'}`, ...changes, ...place];
}

const plans = new Map();
function plan(chart) {
  const name = `${chart.title} ${keyName(chart.key)}`;
  if (!plans.has(name)) plans.set(name, planHand(changesOf(unroll(chart).bars), mandolin, {}));
  return plans.get(name);
}

/** Tempo at which half of the passes of a drill are clean: that of its weakest part. */
export function threshold(player, drill) {
  return Math.min(...thingsOf(drill).map((thing) => skillOf(player, thing).bpm));
}

function skillOf(player, thing) {
  // A stroke on every other beat is easier than a change, and a new place on the neck soon found: the shapes are the same.
  const first = player.kind.first * (thing.startsWith('key') ? 1.25 : thing.startsWith('pattern') ? 1.3 : 1);
  const known = player.skills.get(thing) ?? { first, bpm: first, days: new Set(), last: null };
  player.skills.set(thing, known);
  return known;
}

/** A pass: clean by chance, the likelier the slower; and something is learned of all it asks for. */
function pass(player, drill, bpm, at) {
  const half = threshold(player, drill);
  const clean = player.random() < 1 / (1 + Math.exp((bpm - half) / (width * half)));
  for (const thing of thingsOf(drill)) {
    const skill = skillOf(player, thing);
    // What is far too slow or too fast teaches little.
    const near = Math.exp(-(((bpm - skill.bpm) / (0.35 * skill.bpm)) ** 2));
    skill.bpm += (player.kind.most - skill.bpm) * player.kind.gain * near * (clean ? 1 : 0.5);
    skill.days.add(dayOf(at));
    skill.last = at;
  }
  return clean;
}

/** A night: what is known on few days fades more. */
export function sleep(player) {
  for (const skill of player.skills.values())
    skill.bpm -= (skill.bpm - skill.first) * (player.kind.loss / (1 + skill.days.size));
}

/** Plays a sitting from its beginning, `now` (ms since 1970); answers the diary's lines, and what came of each item. */
export function playSitting(player, items, now) {
  const entries = [];
  const told = [];
  const reached = new Map();
  let at = now;
  for (const item of items) {
    if (item.kind === 'rest') {
      at += item.seconds * 1000;
      told.push('');
      continue;
    }
    const { drill } = item;
    const target = quarterTempo(drill.chart.tempo);
    const record = (bpm, result, minutes) => {
      at += minutes * 60_000;
      entries.push(entryOf(drill, { at, bpm, target, result, minutes }));
    };
    const until = at + item.minutes * 60_000;
    if (!drill.start.ladder) {
      const bpm = target * drill.start.share;
      const length = passMinutes(drill.chart, drill.start.share);
      const passes = drill.start.passes ?? Math.max(1, Math.floor(item.minutes / length));
      let clean = 0;
      for (let index = 0; index < passes; index += 1) {
        const good = pass(player, drill, bpm, at);
        if (good) clean += 1;
        const said = drill.kind === 'song' && player.random() < player.kind.marks;
        record(bpm, said ? (good ? 'clean' : 'miss') : 'unmarked', length);
      }
      told.push(`${clean} of ${passes} clean at ${Math.round(bpm)}`);
      continue;
    }
    const name = `${drill.title} ${keyName(drill.chart.key)}`;
    let ladder = beginLadder({ ...usualLadder, target, start: reached.get(name) ?? drill.start.share });
    let best = 0;
    while (at < until && ladder.holds === null) {
      const { bpm } = ladder;
      const good = pass(player, drill, bpm, at);
      const result = player.random() < player.kind.marks ? (good ? 'clean' : 'miss') : 'unmarked';
      record(Math.round(bpm), result, passMinutes(drill.chart, bpm / target) + between);
      if (result === 'clean') best = Math.max(best, Math.round(bpm));
      ladder = climb(ladder, result);
    }
    reached.set(name, Math.min(1, ladder.bpm / target));
    told.push(best === 0 ? 'nothing clean' : `clean up to ${best}`);
  }
  return { entries, told, minutes: (at - now) / 60_000 };
}

function entryOf(drill, { at, bpm, target, result, minutes }) {
  return {
    at: Math.round(at),
    what: 'drill',
    drill: drill.kind,
    title: drill.title,
    file: null,
    changes: changeNames(plan(drill.chart).changes)
      .slice(0, 40)
      .map(({ id, numbers }) => [id, numbers]),
    key: keyName(drill.chart.key),
    bpm: Math.round(bpm * 10) / 10,
    target,
    pattern: drill.chart.pattern,
    result,
    ms: Math.round(minutes * 60_000),
    ...(drill.step === undefined ? {} : { step: drill.step }),
  };
}
