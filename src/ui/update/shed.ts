import { pedalsDueAt } from '../../player/pedals.js';
import { changeNames } from '../../shed/change-id.js';
import type { Drill } from '../../shed/drill.js';
import { beginLadder, bestOf, climb, type PassResult, usualLadder } from '../../shed/ladder.js';
import type { Effect, Model, PassRecord, SittingRun, Stand, StandStart, Updated } from '../model.js';
import { usualSight } from '../model.js';
import { passView } from '../pass-view.js';
import { askArrangement, openChart } from './arranging.js';
import { joined } from './joined.js';
import { passRecord } from './pass-record.js';
import { runDue, runDueAt, songOver } from './run.js';
import { setTempo } from './tempo.js';

/** How long the player can say how a pass was, when asked, ms. */
const askMs = 5000;
/** How long a card is shown before it begins by itself, ms. */
const cardMs = 8000;

/** A drill comes onto the stand; Esc leads back to what it was made from. */
export function openDrill(model: Model, drill: Drill, start: StandStart, eager: boolean): Updated {
  const { chart } = drill;
  const own = drill.start;
  const share = own.ladder ? (model.ladder.start ?? own.share) : own.share;
  const below = model.stand?.drill ? model.stand.below : model.stand;
  const on = { ...start.mix.on, ...own.voices };
  const opened = openChart(model, {
    kind: 'chart-opened',
    file: '',
    chart,
    source: '',
    drill,
    start: {
      ...start,
      key: chart.key,
      bpm: Math.max(20, Math.round(chart.tempo.bpm * share)),
      countIn: Math.max(1, start.countIn),
      passes: own.ladder ? 1 : null,
      range: null,
      from: 0,
      mix: { ...start.mix, alone: null, on },
      click: {
        ...start.click,
        ...own.click,
        kind: own.click?.kind ?? (start.click.kind === 'off' ? 'every' : start.click.kind),
      },
      pattern: null,
      ramp: own.ramp ? { to: own.ramp.to, bars: own.ramp.bars } : null,
      sight: { ...usualSight, names: own.numbersOnly ? 'numbers' : 'both', late: own.late ?? null },
      picks: [],
    },
  });
  const { stand } = opened.model;
  if (!stand) return opened;
  const target = chart.tempo.bpm;
  const ladder = own.ladder
    ? beginLadder({ ...usualLadder, inRow: model.ladder.inRow, start: share, target })
    : null;
  const range = own.waits ? { from: 0, to: 1 } : stand.range;
  return {
    ...opened,
    model: {
      ...opened.model,
      stand: { ...stand, ladder, below, range, eager, passes: own.ladder ? 1 : null },
    },
  };
}

/** The drill that was chosen for the chart on the stand. */
export function chooseDrill(model: Model, drill: Drill): Updated {
  const { stand } = model;
  return stand ? openDrill({ ...model, panel: null }, drill, startOf(stand), false) : { model, effects: [] };
}

/** How a chart starts that is to start as this stand is set. */
export function startOf(stand: Stand): StandStart {
  const { key, bpm, countIn, passes, range, instrument, plan, sound, mix, click, pattern, patterns, ramp } =
    stand;
  return {
    key,
    bpm,
    countIn,
    passes,
    range,
    from: 0,
    instrument,
    plan,
    sound,
    mix,
    click,
    pattern,
    patterns,
    ramp,
  };
}

/** The pass on the stand as the diary keeps it. */
export function recordOf(stand: Stand, at: number): PassRecord | null {
  const view = passView(stand);
  if (!view || stand.passBegan === null || stand.taking) return null;
  const { from, to } = stand.range ?? { from: 0, to: view.bars.length };
  const part = from > 0 || to < view.bars.length;
  const changes = changeNames(view.plan.changes.filter(({ bar }) => bar >= from && bar < to));
  const record = passRecord(stand, changes, Math.max(0, at - stand.passBegan));
  return {
    ...record,
    what: stand.drill || part ? 'drill' : 'chart',
    drill: stand.drill?.kind ?? (part ? 'phrase' : null),
    title: part ? `bars ${from + 1} to ${to} of ${record.title}` : record.title,
  };
}

/** A pass has come to its end while the music goes on: what was said of it is kept, or can still be said for a while. */
export function passOver(model: Model, at: number): Updated {
  const { stand } = model;
  // On a job a song is one record, when it is over.
  if (!stand || model.set) return { model, effects: [] };
  const flushed = flushPending(model);
  const record = recordOf(stand, at);
  const next: Stand = { ...(flushed.model.stand as Stand), mark: null, passBegan: at };
  if (!record) return { model: { ...model, stand: next }, effects: flushed.effects };
  if (stand.mark)
    return {
      model: { ...model, stand: next },
      effects: [...flushed.effects, { kind: 'record', record, result: stand.mark }],
    };
  return { model: { ...model, stand: { ...next, pending: record } }, effects: flushed.effects };
}

/** Nobody said anything about the pass before: it is kept as unmarked. */
export function flushPending(model: Model): Updated {
  const { stand } = model;
  if (!stand?.pending) return { model, effects: [] };
  return {
    model: { ...model, stand: { ...stand, pending: null } },
    effects: [{ kind: 'record', record: stand.pending, result: 'unmarked' }],
  };
}

/** The player says how a pass was: when asked, the one just over; else the one before, where that is still open; else this one. */
export function markPass(model: Model, stand: Stand, result: PassResult, at: number): Updated {
  if (stand.asking !== null) return answered(model, stand, result, at);
  const says = result === 'clean' ? 'clean' : 'missed';
  if (stand.pending)
    return {
      model: { ...model, notice: `the pass before was ${says}`, stand: { ...stand, pending: null } },
      effects: [{ kind: 'record', record: stand.pending, result }],
    };
  if (model.player.state !== 'running') return { model, effects: [] };
  return {
    model: { ...model, notice: `this pass: ${says}`, stand: { ...stand, mark: result } },
    effects: [],
  };
}

/** A pass on a ladder, or the last pass of a take, was played to its end. */
export function takeOver(model: Model, at: number): Updated {
  const { stand, sitting } = model;
  if (model.set) return songOver(model, model.set, at);
  if (!stand || stand.passBegan === null || (sitting && sitting.phase !== 'playing'))
    return { model, effects: [] };
  if (!stand.ladder) {
    const over = passOver(model, at);
    return {
      ...over,
      model: { ...over.model, stand: over.model.stand && { ...over.model.stand, passBegan: null } },
    };
  }
  if (stand.mark)
    return answered({ ...model, stand: { ...stand, asking: at } }, { ...stand, asking: at }, stand.mark, at);
  return {
    model: { ...model, at, notice: '', stand: { ...stand, asking: at + askMs } },
    effects: [],
  };
}

/** How the pass was is known, or will not be: it is kept, the ladder goes on, and the next pass begins by itself. */
export function answered(model: Model, stand: Stand, result: PassResult, at: number): Updated {
  const record = recordOf(stand, stand.asking === null ? at : Math.min(at, stand.asking));
  const kept: Effect[] = record ? [{ kind: 'record', record, result }] : [];
  const ladder = stand.ladder && climb(stand.ladder, result);
  const next: Stand = { ...stand, ladder, asking: null, mark: null, passBegan: null };
  const after: Model = { ...model, stand: next };
  if (!ladder) return { model: after, effects: kept };
  if (ladder.holds !== null && !model.sitting) {
    const notice = `${Math.round(ladder.holds)} holds; Space begins again`;
    const again: Stand = { ...next, ladder: beginLadder(ladder.rules) };
    return { model: { ...after, notice, stand: again }, effects: kept };
  }
  const timeIsOver = model.sitting !== null && at >= model.sitting.until;
  if (ladder.holds !== null || timeIsOver)
    return joined({ model: after, effects: kept }, (over) => nextItem(over, at));
  return joined({ model: after, effects: kept }, (over) => nextRung(over, ladder.bpm));
}

function nextRung(model: Model, bpm: number): Updated {
  if (!model.stand) return { model, effects: [] };
  const ready: Model = { ...model, stand: { ...model.stand, eager: true } };
  const set = setTempo(ready, ready.stand as Stand, bpm);
  // The same tempo again is no change: the chart is asked for all the same, and begins when it is there.
  return set.effects.length > 0 ? set : askArrangement(ready);
}

/** Time has gone on without music: an answer that does not come, a card or a rest that is over. */
export function dueNow(model: Model, at: number): Updated {
  const { stand, sitting } = model;
  if (model.set) return runDue(model, model.set, at);
  if (stand?.asking != null && at >= stand.asking) return answered(model, stand, 'unmarked', at);
  if (!sitting || sitting.phase === 'done') return { model, effects: [] };
  if (at < sitting.until) return { model, effects: [] };
  if (sitting.phase === 'card') return beginItem(model, at);
  if (sitting.phase === 'resting') return nextItem(model, at);
  // A drill without a ladder ends when its time is over; one with, after the pass that is played.
  if (stand?.ladder && (model.player.state === 'running' || stand.asking !== null))
    return { model, effects: [] };
  return nextItem(model, at);
}

/** When there is something to do without music, ms; `null` for never. */
export function dueAt(model: Model): number | null {
  const pedal = pedalsDueAt(model.pedals);
  const due = screenDueAt(model);
  return pedal === null ? due : Math.min(pedal, due ?? pedal);
}

function screenDueAt(model: Model): number | null {
  const { stand, sitting, at } = model;
  if (model.set) return runDueAt(model, model.set);
  if (stand?.asking != null) return Math.min(stand.asking, at + 1000);
  if (!sitting || sitting.phase === 'done') return null;
  return sitting.phase === 'playing' ? sitting.until : Math.min(sitting.until, at + 1000);
}

/** A sitting begins with its first card. */
export function beginSitting(model: Model, items: SittingRun['items'], at: number): Updated {
  const sitting: SittingRun = { items, at: 0, phase: 'card', until: at + cardMs, told: [] };
  return { model: { ...model, sitting, screen: 'stand', panel: null, at }, effects: [] };
}

/** Space in a sitting: on with what the card shows, or past the rest. */
export function goOn(model: Model, at: number): Updated {
  const { sitting } = model;
  if (!sitting) return { model, effects: [] };
  if (sitting.phase === 'card') return beginItem(model, at);
  if (sitting.phase === 'resting') return nextItem(model, at);
  return sitting.phase === 'done' ? { model, effects: [{ kind: 'leave' }] } : { model, effects: [] };
}

function beginItem(model: Model, at: number): Updated {
  const { sitting, standStart } = model;
  const item = sitting?.items[sitting.at];
  if (!sitting || !standStart || item?.kind !== 'drill') return { model, effects: [] };
  const playing: SittingRun = { ...sitting, phase: 'playing', until: at + item.minutes * 60_000 };
  return openDrill({ ...model, sitting: playing, stand: null }, item.drill, standStart, true);
}

/** What was played is told; the next card, a rest, or the end. */
function nextItem(model: Model, at: number): Updated {
  const { sitting, stand } = model;
  if (!sitting) return { model, effects: [] };
  const over = flushPending(model);
  const told = sitting.phase === 'playing' && stand ? [...sitting.told, toldOf(stand)] : sitting.told;
  const index = sitting.at + 1;
  const item = sitting.items[index];
  const phase: SittingRun['phase'] = !item ? 'done' : item.kind === 'rest' ? 'resting' : 'card';
  const until = item?.kind === 'rest' ? at + item.seconds * 1000 : at + cardMs;
  const stop: Effect[] =
    model.player.state === 'running' ? [{ kind: 'tell', message: { kind: 'pause' } }] : [];
  return {
    model: {
      ...over.model,
      at,
      sitting: { ...sitting, at: index, phase, until, told },
      // Nothing of what was played may begin again behind the card.
      stand: over.model.stand && { ...over.model.stand, eager: false, asking: null, passBegan: null },
    },
    effects: [...over.effects, ...stop],
  };
}

function toldOf({ chart, ladder }: Stand): string {
  if (!ladder) return `${chart.title}: played`;
  const best = bestOf(ladder);
  const marked = ladder.rungs.filter(({ result }) => result !== 'unmarked').length;
  if (best === null) return `${chart.title}: ${ladder.rungs.length} passes, ${marked} of them marked`;
  return `${chart.title}: ${Math.round(best)} ${ladder.holds === null ? 'so far' : 'holds'}, of ${Math.round(ladder.rules.target)}`;
}
