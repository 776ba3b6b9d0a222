import type { Estimate } from './estimate.js';
import type { TimedStroke } from './timed-stroke.js';
import type { Verdict } from './verdict.js';

/** What is heard of a pass as a JSON document. Times with a tenth of a ms; bars and beats from 1; early is less than 0. */
export interface VerdictJson {
  /** Every stroke heard: seconds from the start of the recording, kind, and how clear it was. */
  readonly onsets: readonly { at: number; kind: string; strength: number }[];
  readonly strokes: readonly {
    bar: number;
    beat: number;
    /** The chord that is there, and the one that was heard; `null` when unsure. */
    expected: string;
    heard: string | null;
    /** `null` when the stroke was not heard. */
    lateMs: number | null;
    ringMs: number | null;
    /** How likely what is said of the chord is right, 0.5–1; 0 when it was not listened to. */
    confidence: number;
  }[];
  readonly pass: {
    /** Of the chops, without a single one far off; of the low notes where there are no chops. `null` when too few were heard. */
    meanMs: number | null;
    spreadMs: number | null;
    /** The mean lies within this many ms with a probability of 95 %. */
    meanWithinMs: number | null;
    /** Whether the mean is against the beat; else against the middle of all strokes of the pass. */
    absolute: boolean;
    /** `null` when the pass was not heard. */
    clean: boolean | null;
    faults: readonly string[];
    lowNotes: { meanMs: number; spreadMs: number } | null;
    /** From this bar on the hand runs from the beat, ms for each second; `null` when it does not. */
    runsOff: { bar: number; msPerSecond: number } | null;
    changes: readonly {
      from: string;
      to: string;
      times: number;
      heard: number;
      late: number;
      lateMs: number | null;
      bars: number[];
    }[];
    wrong: readonly {
      bar: number;
      beat: number;
      expected: string;
      heard: string | null;
      confidence: number;
    }[];
    rang: readonly { bar: number; beat: number; ringMs: number }[];
    notHeard: readonly { from: number; to: number }[];
    extra: number;
  };
}

/** A verdict as a JSON document. `onsets` are all strokes that were heard; `startMs` is where in the recording their time 0 is. */
export function verdictJson(verdict: Verdict, onsets: readonly TimedStroke[], startMs: number): VerdictJson {
  const { timing, changes, wrong, rang, silences, extra, runsOff, strokes, result } = verdict;
  const main = timing.chop ?? timing.low;
  return {
    onsets: onsets.map(({ at, kind, strength }) => ({
      at: rounded((at + startMs) / 1000, 4),
      kind,
      strength: rounded(strength, 3),
    })),
    strokes: strokes.map(({ expected, heard, late }) => ({
      bar: expected.bar + 1,
      beat: rounded(expected.beat + 1, 3),
      expected: expected.chord.name,
      heard: heard?.chord && heard.chord.isAsked !== null ? heard.chord.best : null,
      lateMs: late === null ? null : rounded(late, 1),
      ringMs: heard?.ringMs == null ? null : rounded(heard.ringMs, 1),
      confidence: rounded(heard?.chord?.confidence ?? 0, 3),
    })),
    pass: {
      meanMs: main ? rounded(main.mean, 1) : null,
      spreadMs: main ? rounded(main.spread, 1) : null,
      meanWithinMs: main ? rounded(main.meanWithin, 1) : null,
      absolute: verdict.absolute,
      clean: result === 'not heard' ? null : result === 'clean',
      faults: verdict.faults,
      lowNotes: timing.low && timing.chop ? figures(timing.low) : null,
      runsOff: runsOff && {
        bar: (strokes.find(({ expected }) => expected.at >= runsOff.from)?.expected.bar ?? 0) + 1,
        msPerSecond: rounded(1000 * runsOff.slope, 1),
      },
      changes: changes.map(({ from, to, times, heard, late, lateMs, bars }) => ({
        from,
        to,
        times,
        heard,
        late,
        lateMs: lateMs === null ? null : rounded(lateMs, 1),
        bars: bars.map((bar) => bar + 1),
      })),
      wrong: wrong.map(({ bar, beat, chord, heard, confidence }) => ({
        bar: bar + 1,
        beat: rounded(beat + 1, 3),
        expected: chord.name,
        heard,
        confidence: rounded(confidence, 3),
      })),
      rang: rang.map(({ bar, beat, ringMs }) => ({
        bar: bar + 1,
        beat: rounded(beat + 1, 3),
        ringMs: rounded(ringMs, 1),
      })),
      notHeard: silences.map(({ from, to }) => ({ from: from + 1, to: to + 1 })),
      extra: extra.length,
    },
  };
}

function figures({ mean, spread }: Estimate): { meanMs: number; spreadMs: number } {
  return { meanMs: rounded(mean, 1), spreadMs: rounded(spread, 1) };
}

/** Rounded to so many places; never the negative zero. */
function rounded(value: number, places: number): number {
  const scale = 10 ** places;
  return Math.round(value * scale) / scale + 0;
}
