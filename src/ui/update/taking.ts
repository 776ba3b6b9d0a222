import { type Meter, meterText, tempoText } from '../../chart/chart.js';
import { type TakenKey, take, takenChart } from '../../chart/taken.js';
import { keyName } from '../../theory/key.js';
import type { Action } from '../keymap.js';
import type { Effect, Model, Stand, Updated } from '../model.js';
import { passView } from '../pass-view.js';
import { askArrangement } from './arranging.js';
import { openEntry } from './entry.js';

const meters: readonly Meter[] = [
  { beats: 4, unit: 4 },
  { beats: 3, unit: 4 },
  { beats: 2, unit: 2 },
  { beats: 6, unit: 8 },
];

/** A key while a chart is taken down; `null` where the key is none of these. */
export function takingAction(model: Model, stand: Stand, action: Action): Updated | null {
  if (!stand.taking) return null;
  const degree = /^degree-([1-7])$/.exec(action)?.[1];
  if (degree !== undefined)
    return taken(model, stand, { kind: 'degree', degree: Number(degree), bar: calledBar(model, stand) });
  switch (action) {
    case 'take-minor':
      return taken(model, stand, { kind: 'minor' });
    case 'take-seventh':
      return taken(model, stand, { kind: 'seventh' });
    case 'take-flat':
      return taken(model, stand, { kind: 'flat' });
    case 'take-sharp':
      return taken(model, stand, { kind: 'sharp' });
    case 'take-split':
      return taken(model, stand, { kind: 'split' });
    case 'take-erase':
      return taken(model, stand, { kind: 'erase' });
    case 'take-meter':
      return nextMeter(model, stand);
    case 'take-done':
      return done(model, stand);
    default:
      return null;
  }
}

function taken(model: Model, stand: Stand, key: TakenKey): Updated {
  if (!stand.taking) return { model, effects: [] };
  return {
    model: { ...model, notice: '', stand: { ...stand, taking: take(stand.taking, key) } },
    effects: [],
  };
}

/** The bar a call is meant for: the one that sounds; in its last beat the next, since a caller calls ahead. */
function calledBar(model: Model, stand: Stand): number {
  const { bar, beat, counting } = stand.cursor;
  const view = passView(stand);
  const beats = view?.bars[bar]?.beats ?? 4;
  if (model.player.state !== 'running' || counting || beat === null) return bar;
  return beat >= beats - 1 ? bar + 1 : bar;
}

/** Four in a bar, three, cut time, six: only before anything was taken down. */
function nextMeter(model: Model, stand: Stand): Updated {
  if (model.player.state === 'running' || stand.taking?.bars.some((bar) => bar !== null))
    return { model: { ...model, notice: 'the meter can be chosen before the first chord' }, effects: [] };
  const at = meters.findIndex(
    ({ beats, unit }) => beats === stand.chart.meter.beats && unit === stand.chart.meter.unit,
  );
  const meter = meters[(at + 1) % meters.length] as Meter;
  const count = meter.unit === 2 ? 'half' : meter.unit === 8 ? 'dotted' : 'quarter';
  const chart = { ...stand.chart, meter, tempo: { ...stand.chart.tempo, count } as const };
  return askArrangement({ ...model, notice: '', stand: { ...stand, chart } });
}

/** Enough was taken down: the count stops, and the chart wants a name. */
function done(model: Model, stand: Stand): Updated {
  if (!stand.taking || textOf(stand, 'x') === null)
    return {
      model: { ...model, notice: 'nothing was taken down yet: 1 to 7 write what is called' },
      effects: [],
    };
  const named = openEntry(model, 'name', 'its title');
  const stop = model.player.state === 'running';
  return stop
    ? { ...named, effects: [...named.effects, { kind: 'tell', message: { kind: 'pause' } }] }
    : named;
}

/** The chart is named: it goes into the player's folder, and from there onto the stand. */
export function nameTaken(model: Model, stand: Stand, title: string): Updated {
  const text = textOf(stand, title);
  return text === null ? { model, effects: [] } : { model, effects: [{ kind: 'write-new', title, text }] };
}

function textOf({ taking, key, chart, bpm }: Stand, title: string): string | null {
  return (
    taking && takenChart({ title, key, tempo: { ...chart.tempo, bpm }, meter: chart.meter, taken: taking })
  );
}

/** What was taken down is kept while it grows, as soon as a key has changed it. */
export function keptTaking(before: Stand | null, after: Stand | null): Effect | null {
  if (!before?.taking || !after?.taking || after.draft === null || before.draft !== after.draft) return null;
  const { key, bpm, chart, taking, draft } = after;
  const same =
    taking === before.taking &&
    key === before.key &&
    bpm === before.bpm &&
    chart.meter === before.chart.meter;
  if (same) return null;
  const taken = taking.bars.every((bar) => bar === null)
    ? null
    : {
        key: keyName(key),
        tempo: tempoText({ ...chart.tempo, bpm }),
        meter: meterText(chart.meter),
        taken: taking,
      };
  return { kind: 'keep-taken', name: draft, taken };
}

/** What was taken down stands in a chart of its own now, or was left for good: it is offered no more. */
export function forgetTaking(model: Model): Updated {
  const { stand, library } = model;
  const name = stand?.taking ? stand.draft : null;
  if (!stand || name === null) return { model, effects: [] };
  const items = library?.items.filter(({ kind, file }) => kind !== 'taken' || file !== name);
  return {
    model: {
      ...model,
      stand: { ...stand, draft: null },
      library:
        library && items ? { ...library, items, index: Math.min(library.index, items.length - 1) } : library,
    },
    effects: [{ kind: 'keep-taken', name, taken: null }],
  };
}

/** Leaves what was taken down: once it is asked about, since it would be lost. */
export function leaveTaking(model: Model, stand: Stand): Updated | null {
  const warned = 'what was taken down is lost when you press Esc again; Enter keeps it';
  if (!stand.taking || textOf(stand, 'x') === null || model.notice === warned) return null;
  return { model: { ...model, notice: warned }, effects: [] };
}
