import { type Meter, meterText, sameMeter, tempoText } from '../../../chart/chart.js';
import { type Call, transcribe, transcriptChart } from '../../../chart/transcript.js';
import { passView } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import { pause, withSetup } from '../../../playback/session.js';
import { keyName } from '../../../theory/key.js';
import type { Action } from '../../keys/actions.js';
import type { ChartOpened, Effect } from '../../state/messages.js';
import type { Model } from '../../state/model.js';
import type { TranscribeMode } from '../../state/modes.js';
import type { ModeRules } from '../rules.js';
import { standAction } from '../stand/actions.js';
import { newStand, putOn, toLibrary } from '../stand/put-on.js';
import { openLine } from '../stand/type-line.js';
import { inTurn, noticed, played, type Step, step } from '../step.js';

const meters: readonly Meter[] = [
  { beats: 4, unit: 4 },
  { beats: 3, unit: 4 },
  { beats: 2, unit: 2 },
  { beats: 6, unit: 8 },
];

/** A chart is written down while a count runs. */
export const transcribeRules: ModeRules<TranscribeMode> = {
  act: (model, mode, action, at) => writing(model, mode, action) ?? standAction(model, mode, action, at),
  back: (model, mode, at) => {
    // What was written down would be lost: it is asked about once.
    const asks = model.confirm?.what !== 'drop-transcript' && textOf(model, mode, 'x') !== null;
    if (!asks) return inTurn(forgotten(model, mode), toLibrary);
    const confirm = { what: 'drop-transcript', at } as const;
    return noticed({ ...model, confirm }, 'Esc again loses what was written down; Enter keeps it');
  },
  heard: (model, _, event) => (event.kind === 'play-sent' ? noticed(model, '') : step(model)),
  due: (model) => step(model),
  leaving: (model) => step(model),
};

/** A count begins in which what is called is written down. */
export function openTranscript(
  model: Model,
  { chart, start, draft }: ChartOpened,
  transcript: TranscribeMode['transcript'],
): Step {
  return putOn(
    model,
    { kind: 'transcribe', stand: newStand(start), transcript, draft: draft ?? null },
    chart,
    start,
  );
}

/** What was written down is kept while it grows, as soon as a key has changed it; `null` where nothing has. */
export function transcriptKept(before: Model, after: Model): Effect | null {
  const { mode } = after;
  const [one, other] = [before.session.performance, after.session.performance];
  if (before.mode.kind !== 'transcribe' || mode.kind !== 'transcribe' || !one || !other) return null;
  const { draft, transcript } = mode;
  if (draft === null || before.mode.draft !== draft) return null;
  const { key, bpm, chart } = other.setup;
  const same =
    transcript === before.mode.transcript &&
    key === one.setup.key &&
    bpm === one.setup.bpm &&
    chart.meter === one.setup.chart.meter;
  if (same) return null;
  if (transcript.bars.every((bar) => bar === null))
    return { kind: 'keep-transcript', name: draft, transcript: null };
  const tempo = tempoText({ ...chart.tempo, bpm });
  const meter = meterText(chart.meter);
  return {
    kind: 'keep-transcript',
    name: draft,
    transcript: { key: keyName(key), tempo, meter, transcript },
  };
}

/** What was written down is in a chart of its own now, or was discarded: it is no longer offered. */
export function forgotten(model: Model, mode: TranscribeMode): Step {
  const { draft: name } = mode;
  if (name === null) return step(model);
  const { library } = model;
  const items = library?.items.filter(({ kind, file }) => kind !== 'transcript' || file !== name) ?? [];
  const listed = library && { ...library, items, index: Math.min(library.index, items.length - 1) };
  return step(
    { ...model, mode: { ...mode, draft: null }, library: listed },
    { kind: 'keep-transcript', name, transcript: null },
  );
}

/** The chart is named: it goes into the player's folder, and from there onto the stand. */
export function titleTyped(model: Model, title: string): Step {
  const text = model.mode.kind === 'transcribe' ? textOf(model, model.mode, title) : null;
  return text === null ? step(model) : step(model, { kind: 'write-new', title, text });
}

/** A key that writes; `null` where the action is none of these. */
function writing(model: Model, mode: TranscribeMode, action: Action): Step | null {
  const { performance } = model.session;
  const degree = /^degree-([1-7])$/.exec(action)?.[1];
  if (degree !== undefined && performance)
    return wrote(model, mode, { kind: 'degree', degree: Number(degree), bar: calledBar(model, performance) });
  switch (action) {
    case 'write-minor':
      return wrote(model, mode, { kind: 'minor' });
    case 'write-seventh':
      return wrote(model, mode, { kind: 'seventh' });
    case 'write-flat':
      return wrote(model, mode, { kind: 'flat' });
    case 'write-sharp':
      return wrote(model, mode, { kind: 'sharp' });
    case 'write-split':
      return wrote(model, mode, { kind: 'split' });
    case 'write-erase':
      return wrote(model, mode, { kind: 'erase' });
    case 'write-meter':
      return nextMeter(model, mode);
    case 'write-done':
      return done(model, mode);
    default:
      return null;
  }
}

function wrote(model: Model, mode: TranscribeMode, key: Call): Step {
  const meter = model.session.performance?.setup.chart.meter ?? (meters[0] as Meter);
  return noticed({ ...model, mode: { ...mode, transcript: transcribe(mode.transcript, key, meter) } }, '');
}

/** The bar a call is meant for: the one that sounds; in its last beat the next, since a caller calls ahead. */
function calledBar({ session }: Model, performance: Performance): number {
  const { bar, beat, counting } = performance.cursor;
  const beats = passView(performance)?.bars[bar]?.beats ?? 4;
  if (session.link.state !== 'running' || counting || beat === null) return bar;
  return beat >= beats - 1 ? bar + 1 : bar;
}

/** Four in a bar, three, cut time, six: only before anything was written down. */
function nextMeter(model: Model, { transcript }: TranscribeMode): Step {
  const { session } = model;
  const chart = session.performance?.setup.chart;
  if (!chart) return step(model);
  if (session.link.state === 'running' || transcript.bars.some((bar) => bar !== null))
    return noticed(model, 'the meter can be chosen before the first chord');
  const at = meters.findIndex((meter) => sameMeter(meter, chart.meter));
  const meter = meters[(at + 1) % meters.length] as Meter;
  const count = meter.unit === 2 ? 'half' : meter.unit === 8 ? 'dotted' : 'quarter';
  const counted = { ...chart, meter, tempo: { ...chart.tempo, count } as const };
  return noticed({ ...model, session: withSetup(session, { chart: counted }) }, '');
}

/** Enough was written down: the count stops, and the chart wants a title. */
function done(model: Model, mode: TranscribeMode): Step {
  if (textOf(model, mode, 'x') === null)
    return noticed(model, 'nothing is written down yet: 1 to 7 write what is called');
  return inTurn(played(model, pause(model.session)), (now) => openLine(now, { kind: 'title' }, 'its title'));
}

function textOf({ session }: Model, { transcript }: TranscribeMode, title: string): string | null {
  if (!session.performance) return null;
  const { chart, key, bpm } = session.performance.setup;
  const tempo = { ...chart.tempo, bpm };
  return transcriptChart({ title, key, tempo, meter: chart.meter, transcript });
}
