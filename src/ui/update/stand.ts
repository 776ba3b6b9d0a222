import { tempoLimits } from '../../chart/change.js';
import { quarterTempo } from '../../chart/chart.js';
import { familyChange } from '../../hand/family.js';
import { type Key, keyName, transposeKey } from '../../theory/key.js';
import type { Arrangement, ArrangeOptions } from '../../time/arrange.js';
import type { Click } from '../../time/click.js';
import { begin, type Conducted, feed, positionAt, retake, type Take } from '../../time/conductor.js';
import type { Pattern } from '../../time/pattern.js';
import { tickAt } from '../../time/segment.js';
import { heardLevels, programMessages } from '../../time/sound.js';
import type { Action } from '../keymap.js';
import type { Cursor, Effect, Message, Model, Stand, Updated } from '../model.js';
import { passView, sectionStarts } from '../pass-view.js';
import { armed } from './follow.js';

/** From now until a change of what is played can be in force, beyond the output's lead: the way to the player, ms. */
const reachMs = 25;
/** Beats a minute that a key press is worth. */
const tempoStep = 5;

/** A chart comes onto the stand. It is arranged at once and waits for play. */
export function openChart(model: Model, message: Extract<Message, { kind: 'chart-opened' }>): Updated {
  const { file, chart, start } = message;
  const stand: Stand = {
    file,
    chart,
    key: start.key,
    instrument: start.instrument,
    plan: start.plan,
    sound: start.sound,
    mix: start.mix,
    click: start.click,
    pattern: start.pattern,
    patterns: start.patterns,
    ramp: start.ramp,
    bpm: start.bpm,
    countIn: start.countIn,
    passes: start.passes,
    range: start.range,
    arrangement: null,
    arranged: 0,
    wanted: 0,
    conductor: null,
    cursor: { bar: start.from, beat: null, pass: 1, counting: false },
    eager: false,
  };
  const stopped: readonly Effect[] =
    model.player.state === 'running' ? [{ kind: 'tell', message: { kind: 'pause' } }] : [];
  const asked = askArrangement({ ...model, screen: 'stand', panel: null, notice: '', stand });
  const levels: Effect = { kind: 'levels', levels: heardLevels(stand.mix) };
  return { model: asked.model, effects: [...stopped, levels, ...asked.effects] };
}

/** Asks for the chart in the stand's key and at its tempo. */
function askArrangement(model: Model): Updated {
  const { stand } = model;
  if (!stand) return { model, effects: [] };
  const id = stand.wanted + 1;
  const options: ArrangeOptions = {
    key: stand.key,
    share: shareOf(stand),
    instrument: stand.instrument,
    plan: stand.plan,
    sound: stand.sound,
    patterns: stand.patterns,
    ...(stand.pattern ? { pattern: stand.pattern } : {}),
  };
  return {
    model: { ...model, stand: { ...stand, wanted: id } },
    effects: [{ kind: 'arrange', id, chart: stand.chart, options }],
  };
}

/** The share of the chart's own tempo. */
export function shareOf(stand: Pick<Stand, 'chart' | 'bpm'>): number {
  return quarterTempo({ ...stand.chart.tempo, bpm: stand.bpm }) / quarterTempo(stand.chart.tempo);
}

/** An arrangement has come: while the music runs it goes on with the new one at the same place. */
export function arranged(model: Model, id: number, arrangement: Arrangement, at: number): Updated {
  const { stand } = model;
  if (!stand || id !== stand.wanted) return { model, effects: [] };
  const next: Stand = { ...stand, arrangement, arranged: id, cursor: within(stand.cursor, arrangement) };
  const told = { ...model, stand: next, notice: keyNotice(stand.arrangement, arrangement) ?? model.notice };
  if (model.player.state !== 'running' && model.player.following.label !== null)
    return armed(told, model.player.following.song);
  if (model.player.state !== 'running' || !stand.conductor) return playIfEager(told);
  const tick = reachTick(model, at);
  return conducted(told, retake(stand.conductor, takeOf(next, arrangement), tick), tick);
}

/** After a change of key: whether the family stays. */
function keyNotice(before: Arrangement | null, now: Arrangement): string | null {
  if (!before || keyName(before.key) === keyName(now.key)) return null;
  return `key ${keyName(now.key)}: ${familyChange(before.family, now.family)}`;
}

function within(cursor: Cursor, arrangement: Arrangement): Cursor {
  return { ...cursor, bar: Math.min(cursor.bar, Math.max(0, arrangement.bars.length - 1)) };
}

/** What is to be played of a stand. */
export function takeOf(stand: Stand, arrangement: Arrangement): Take {
  return {
    score: arrangement.score,
    ...(arrangement.final ? { finalScore: arrangement.final.score } : {}),
    ...(stand.range ? { range: stand.range } : {}),
    passes: stand.passes,
    share: shareOf(stand),
    countIn: stand.countIn,
    click: stand.click,
    sound: stand.sound,
    ...(stand.ramp ? { ramp: stand.ramp } : {}),
  };
}

/** The first tick that a change sent now is sure to reach in time. */
function reachTick(model: Model, at: number): number {
  return Math.ceil(tickAt(model.player.spans, at + model.player.lead + reachMs));
}

function conducted(model: Model, { conductor, segments }: Conducted, tick: number): Updated {
  const stand = model.stand && { ...model.stand, conductor };
  return { model: { ...model, stand }, effects: [{ kind: 'replace', tick, segments }] };
}

/** A key on the stand. */
export function standAction(model: Model, action: Action, at: number): Updated {
  const { stand } = model;
  if (!stand) return { model, effects: [] };
  switch (action) {
    case 'play':
      return playOrPause(model, stand);
    case 'bar-back':
      return goTo(model, stand, stand.cursor.bar - 1, at);
    case 'bar-on':
      return goTo(model, stand, stand.cursor.bar + 1, at);
    case 'section-back':
      return goTo(model, stand, sectionBefore(stand), at);
    case 'section-on':
      return goTo(model, stand, sectionAfter(stand), at);
    case 'to-start':
      return goTo(model, stand, stand.range?.from ?? 0, at);
    case 'slower':
      return setTempo(model, stand, stand.bpm - tempoStep);
    case 'faster':
      return setTempo(model, stand, stand.bpm + tempoStep);
    case 'key-down':
      return setKey(model, transposeKey(stand.key, -1));
    case 'key-up':
      return setKey(model, transposeKey(stand.key, 1));
    case 'last-pass':
      return setLastPass(model, stand, at);
    case 'lateness':
      return { model, effects: [{ kind: 'tell', message: { kind: 'lateness' } }] };
    default:
      return { model, effects: [] };
  }
}

/** Whether play would begin at once: the hand is planned and there is an output. */
export function isReady(model: Model): boolean {
  const { stand, player } = model;
  return stand?.arrangement != null && stand.arranged === stand.wanted && player.output !== null;
}

/** Begins to play when that was asked for before all was ready, and now is. */
export function playIfEager(model: Model): Updated {
  const { stand } = model;
  if (!stand?.eager || !stand.arrangement || !isReady(model) || model.player.state === 'running')
    return { model, effects: [] };
  return play(model, stand, stand.arrangement);
}

function playOrPause(model: Model, stand: Stand): Updated {
  if (model.player.state === 'running')
    return { model, effects: [{ kind: 'tell', message: { kind: 'pause' } }] };
  if (model.player.following.label !== null)
    return { model: { ...model, notice: 'the outside clock starts and stops the music' }, effects: [] };
  if (!stand.arrangement || !isReady(model))
    return { model: { ...model, stand: { ...stand, eager: !stand.eager } }, effects: [] };
  return play(model, stand, stand.arrangement);
}

function play(model: Model, stand: Stand, arrangement: Arrangement): Updated {
  const tick = model.player.freeTick;
  const { conductor, segments } = begin(takeOf(stand, arrangement), stand.cursor.bar, tick, 1);
  const cursor: Cursor = { ...stand.cursor, pass: 1, beat: null, counting: stand.countIn > 0 };
  return {
    model: { ...model, notice: '', stand: { ...stand, conductor, cursor, eager: false } },
    effects: [
      { kind: 'tell', message: { kind: 'send', messages: programMessages(stand.sound) } },
      { kind: 'replace', tick, segments },
      { kind: 'tell', message: { kind: 'play', tick } },
    ],
  };
}

function goTo(model: Model, stand: Stand, bar: number, at: number): Updated {
  const view = passView(stand);
  if (!view || !stand.arrangement) return { model, effects: [] };
  const first = stand.range?.from ?? 0;
  const last = (stand.range?.to ?? view.bars.length) - 1;
  const target = Math.max(first, Math.min(last, bar));
  const cursor: Cursor = { ...stand.cursor, bar: target, beat: null };
  const moved = { ...model, stand: { ...stand, cursor } };
  if (model.player.state !== 'running' || !stand.conductor) return { model: moved, effects: [] };
  const tick = reachTick(model, at);
  return conducted(moved, retake(stand.conductor, takeOf(stand, stand.arrangement), tick, target), tick);
}

function sectionBefore(stand: Stand): number {
  const view = passView(stand);
  if (!view) return 0;
  // Within the first bar of a section, back means the section before: the way a player leafs.
  return sectionStarts(view).findLast((start) => start < stand.cursor.bar) ?? 0;
}

function sectionAfter(stand: Stand): number {
  const view = passView(stand);
  if (!view) return 0;
  return sectionStarts(view).find((start) => start > stand.cursor.bar) ?? stand.cursor.bar;
}

function setTempo(model: Model, stand: Stand, bpm: number): Updated {
  const limited = Math.max(tempoLimits.least, Math.min(tempoLimits.most, Math.round(bpm)));
  if (limited === stand.bpm)
    return {
      model: { ...model, notice: `the tempo goes from ${tempoLimits.least} to ${tempoLimits.most}` },
      effects: [],
    };
  return askArrangement({ ...model, notice: '', stand: { ...stand, bpm: limited } });
}

/** Puts the chart on the stand into another key; the hand is planned anew. */
export function setKey(model: Model, key: Key): Updated {
  if (!model.stand) return { model, effects: [] };
  return askArrangement({ ...model, panel: null, notice: '', stand: { ...model.stand, key } });
}

/** The pass that is played becomes the last one, with the bars that only a last pass has; or there is no last one again. */
function setLastPass(model: Model, stand: Stand, at: number): Updated {
  const passes = stand.passes === null ? stand.cursor.pass : null;
  const changed: Stand = { ...stand, passes };
  const notice = passes === null ? 'it goes on without end' : '';
  const next: Model = { ...model, notice, stand: changed };
  if (model.player.state !== 'running' || !stand.conductor || !stand.arrangement)
    return { model: next, effects: [] };
  const tick = reachTick(model, at);
  return conducted(next, retake(stand.conductor, takeOf(changed, stand.arrangement), tick), tick);
}

/** Another click: the music goes on at its place with it. */
export function setClick(model: Model, click: Click, at: number): Updated {
  const { stand } = model;
  if (!stand) return { model, effects: [] };
  const changed: Model = { ...model, panel: null, stand: { ...stand, click } };
  if (model.player.state !== 'running' || !stand.conductor || !stand.arrangement || !changed.stand)
    return { model: changed, effects: [] };
  const tick = reachTick(model, at);
  return conducted(changed, retake(stand.conductor, takeOf(changed.stand, stand.arrangement), tick), tick);
}

/** Another right-hand pattern; `null` leaves it to the chart. */
export function setPattern(model: Model, pattern: Pattern | null): Updated {
  if (!model.stand) return { model, effects: [] };
  return askArrangement({ ...model, panel: null, stand: { ...model.stand, pattern } });
}

/** Time has gone on: the cursor follows, and what must be ready soon is sent. */
export function clock(model: Model, at: number): Updated {
  const { stand, player } = model;
  if (!stand?.conductor || player.state !== 'running' || player.spans.length === 0)
    return { model, effects: [] };
  const tick = tickAt(player.spans, at);
  const fed = feed(stand.conductor, Math.max(0, tick));
  const cursor = cursorAt(stand, fed.conductor, tick);
  const effects: Effect[] = fed.segments.length > 0 ? [{ kind: 'append', segments: fed.segments }] : [];
  return { model: { ...model, stand: { ...stand, conductor: fed.conductor, cursor } }, effects };
}

function cursorAt(stand: Stand, conductor: NonNullable<Stand['conductor']>, tick: number): Cursor {
  const position = positionAt(conductor, tick);
  if (position.phase === 'end') return stand.cursor;
  const next: Cursor = {
    bar: position.bar,
    beat: position.beat,
    pass: position.pass,
    counting: position.phase === 'count-in',
  };
  const { bar, beat, pass, counting } = stand.cursor;
  return bar === next.bar && beat === next.beat && pass === next.pass && counting === next.counting
    ? stand.cursor
    : next;
}
