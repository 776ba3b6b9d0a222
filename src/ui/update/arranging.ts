import { quarterTempo } from '../../chart/chart.js';
import { familyChange } from '../../hand/family-change.js';
import { keyName } from '../../theory/key.js';
import type { Arrangement, ArrangeOptions } from '../../time/arrange.js';
import { type Conducted, retake, type Take } from '../../time/conductor.js';
import { tickAt } from '../../time/segment.js';
import { heardLevels } from '../../time/sound.js';
import { vampScore } from '../../time/vamp.js';
import {
  type Cursor,
  type Effect,
  type Message,
  type Model,
  type Stand,
  type Updated,
  usualSight,
} from '../model.js';
import { passViewAt } from '../pass-view.js';
import { armed } from './follow.js';
import { playIfEager } from './transport.js';
import { turnedAgain } from './turns.js';

/** From now until a change of what is played can be in force, beyond the output's lead: the way to the player, ms. */
const reachMs = 25;

/** A chart comes onto the stand. It is arranged at once and waits for play. */
export function openChart(model: Model, message: Extract<Message, { kind: 'chart-opened' }>): Updated {
  const { file, chart, source, taking = null, draft = null, drill = null } = message;
  const { from, sight = usualSight, picks = [], ...start } = message.start;
  const stand: Stand = {
    ...start,
    file,
    chart,
    source,
    sight,
    picks,
    earlier: [],
    saved: source,
    saving: false,
    taking,
    draft,
    taps: [],
    tuning: false,
    begun: false,
    drill,
    below: null,
    ladder: null,
    mark: null,
    pending: null,
    passBegan: null,
    asking: null,
    arrangement: null,
    arranged: 0,
    wanted: 0,
    conductor: null,
    turn: null,
    held: null,
    cursor: { bar: from, beat: null, pass: 1, counting: false },
    eager: false,
  };
  const stopped: readonly Effect[] =
    model.player.state === 'running' ? [{ kind: 'tell', message: { kind: 'pause' } }] : [];
  const asked = askArrangement({ ...model, screen: 'stand', panel: null, entry: null, notice: '', stand });
  const levels: Effect = { kind: 'levels', levels: heardLevels(stand.mix) };
  return { model: asked.model, effects: [...stopped, levels, ...asked.effects] };
}

/** Asks for the chart in the stand's key and at its tempo. */
export function askArrangement(model: Model): Updated {
  const { stand } = model;
  if (!stand) return { model, effects: [] };
  // Counted across all stands: what was asked for one chart is never taken for another's.
  const id = model.asked + 1;
  return {
    model: { ...model, asked: id, stand: { ...stand, wanted: id } },
    effects: [{ kind: 'arrange', id, chart: stand.chart, options: optionsOf(stand) }],
  };
}

/** How a stand's chart is arranged. */
function optionsOf(stand: Stand): ArrangeOptions {
  const key = keyName(stand.key);
  const picks = stand.picks
    .filter((pick) => pick.key === key)
    .map((pick) => ({
      ...pick,
      section: String(stand.chart.sections.findIndex(({ name }) => name === pick.section)),
    }));
  return {
    key: stand.key,
    share: shareOf(stand),
    instrument: stand.instrument,
    plan: picks.length > 0 ? { ...stand.plan, picks } : stand.plan,
    sound: stand.sound,
    patterns: stand.patterns,
    ...(stand.pattern ? { pattern: stand.pattern } : {}),
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
  const count = arrangement.bars.length;
  const range = stand.range && stand.range.to > count ? null : stand.range;
  const cursor: Cursor = { ...stand.cursor, bar: Math.min(stand.cursor.bar, Math.max(0, count - 1)) };
  const next: Stand = { ...stand, arrangement, arranged: id, range, cursor };
  const told = { ...model, stand: next, notice: keyNotice(stand.arrangement, arrangement) ?? model.notice };
  if (model.player.state !== 'running' && model.player.following.label !== null)
    return armed(told, model.player.following.song);
  if (model.player.state !== 'running' || !stand.conductor) return playIfEager(told);
  const tick = reachTick(model, at);
  return turnedAgain(conducted(told, retake(stand.conductor, takeOf(next, arrangement), tick), tick), at);
}

/** After a change of key: whether the family stays. */
function keyNotice(before: Arrangement | null, now: Arrangement): string | null {
  if (!before || keyName(before.key) === keyName(now.key)) return null;
  return `key ${keyName(now.key)}: ${familyChange(before.family, now.family)}`;
}

/** What is to be played of a stand: while everybody waits on a chord, its bar with it alone, without end. */
export function takeOf(stand: Stand, arrangement: Arrangement): Take {
  const { held } = stand;
  const take = songTake(stand, arrangement);
  const view = held && passViewAt(stand, held.pass);
  if (!held || !view || held.until !== null) return take;
  const { finalScore: _, ramp: __, ...plain } = take;
  return {
    ...plain,
    score: vampScore(stand.chart, view, held, optionsOf(stand)),
    range: { from: held.bar, to: held.bar + 1 },
    passes: null,
  };
}

/** The song as it stands on the stand. */
export function songTake(stand: Stand, arrangement: Arrangement): Take {
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
export function reachTick(model: Model, at: number): number {
  return Math.ceil(tickAt(model.player.spans, at + model.player.lead + reachMs));
}

/** What a conductor answered, put into the model; from `tick` on its segments are what is played. */
export function conducted(model: Model, { conductor, segments }: Conducted, tick: number): Updated {
  const stand = model.stand && { ...model.stand, conductor };
  return { model: { ...model, stand }, effects: [{ kind: 'replace', tick, segments }] };
}

/** While the music runs: it goes on at its place, or at `bar`, with what the stand says now. Otherwise nothing is sent. */
export function retaken(model: Model, at: number, bar?: number): Updated {
  const { stand } = model;
  if (model.player.state !== 'running' || !stand?.conductor || !stand.arrangement)
    return { model, effects: [] };
  const tick = reachTick(model, at);
  // Who goes elsewhere leaves what was wished for behind.
  const here: Stand = bar === undefined ? stand : { ...stand, turn: null, held: null };
  const went = conducted(
    { ...model, stand: here },
    retake(stand.conductor, takeOf(here, stand.arrangement), tick, bar),
    tick,
  );
  return turnedAgain(went, at);
}

/** Whether play would begin at once: the hand is planned and there is an output. */
export function isReady(model: Model): boolean {
  const { stand, player } = model;
  return stand?.arrangement != null && stand.arranged === stand.wanted && player.output !== null;
}
