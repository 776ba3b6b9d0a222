import { noteName } from '../theory/pitch.js';
import { barList, barRange } from './bar-list.js';
import type { Estimate } from './estimate.js';
import { justNoticed } from './limits.js';
import { tempoGained } from './run-off.js';
import { type Said, saidOfChords } from './say-chords.js';
import type { Verdict } from './verdict.js';

/** The most lines that are said after a pass. */
const mostLines = 4;

/** What is known of a pass for what is said of it. */
export interface SayOptions {
  /** The tempo it was played at, felt beats a minute. */
  readonly bpm: number;
}

/**
 * What a player is told after a pass: at most four lines, the worst first; one at least. Numbers are whole ms, bars count from 1.
 *
 * @example say(verdict, { bpm: 160 }) // ['Late into 4: 60 ms, 3 of 4 times (bars 5, 13, 21)', 'Chops 8 ms ahead of the beat, steady (spread 11 ms)']
 */
export function say(verdict: Verdict, { bpm }: SayOptions): string[] {
  const { result, faults } = verdict;
  if (result === 'not heard' && !faults.includes('silence')) return notHeard(verdict);
  const lines = [
    ...saidOfRun(verdict, bpm),
    ...saidOfChords(verdict),
    ...saidOfRing(verdict),
    ...saidOfWhatLacks(verdict),
    ...saidOfTiming(verdict),
  ];
  return lines
    .sort((one, other) => other.weight - one.weight)
    .slice(0, mostLines)
    .map(({ line }) => line);
}

function notHeard({ faults, strokes, extra }: Verdict): string[] {
  const heard = strokes.filter((one) => one.heard !== null).length;
  if (faults.includes('somebody else'))
    return [
      `Not judged: ${heard} strokes of the pass and ${extra.length} others were heard; somebody else seems to play`,
      'Move the microphone nearer to your instrument, or use headphones',
    ];
  return [
    `Not judged: ${heard} of ${strokes.length} strokes were heard`,
    'Move the microphone nearer, or look at its level in the settings of the system',
  ];
}

function saidOfRun({ runsOff, strokes }: Verdict, bpm: number): Said[] {
  if (!runsOff) return [];
  const gained = tempoGained(runsOff, bpm);
  const bar = strokes.find(({ expected }) => expected.at >= runsOff.from)?.expected.bar ?? 0;
  const by = Math.abs(gained) < 1 ? 'less than 1 bpm' : `${Math.round(Math.abs(gained))} bpm`;
  const where = bar === 0 ? 'From the start' : `From bar ${bar + 1} on`;
  return [
    {
      weight: 90,
      line: `${where} you ${gained > 0 ? 'run ahead of' : 'fall behind'} the beat, by ${by} at the end`,
    },
  ];
}

function saidOfRing({ rang, chopsHeard }: Verdict): Said[] {
  if (rang.length === 0) return [];
  const bars = rang.map(({ bar }) => bar);
  const weight = 30 + (40 * rang.length) / Math.max(1, chopsHeard);
  const [one] = rang;
  const notes = [...new Set(rang.flatMap(({ note }) => (note === null ? [] : [noteName(note)])))];
  const course = notes.length === 1 && rang.every(({ note }) => note !== null) ? notes[0] : null;
  if (course)
    return [
      {
        weight,
        line: `The ${course} of the chord rang on behind the chop in ${barList(bars)}: damp that course too`,
      },
    ];
  if (rang.length === 1 && one) return [{ weight, line: `The chop in ${barList(bars)} rang on` }];
  return [{ weight, line: `${rang.length} chops rang on (${barList(bars)}): let go of the frets sooner` }];
}

function saidOfWhatLacks({ silences, strokes, extra, faults }: Verdict): Said[] {
  const said: Said[] = [];
  const [first] = silences;
  if (first) {
    const all = silences.map(({ from, to }) => barRange(from, to)).slice(0, 3);
    const judged = faults.includes('silence') ? ', so the pass is not judged' : '';
    said.push({ weight: 100, line: `Nothing was heard in ${all.join(', ')}${judged}` });
  }
  const lacking = strokes.filter(({ heard }) => !heard);
  const inSilence = silences.reduce((sum, one) => sum + one.strokes, 0);
  if (faults.includes('left out') && lacking.length > inSilence)
    said.push({
      weight: 50,
      line: `${lacking.length - inSilence} single strokes were not heard (${barList(lacking.map(({ expected }) => expected.bar))})`,
    });
  if (extra.length > Math.max(2, 0.05 * strokes.length))
    said.push({
      weight: 5,
      line: `${extra.length} strokes more than the chart has were heard, and are not judged`,
    });
  return said;
}

/** One line on the chops against the beat, and one on the low notes where they stand apart from them. */
function saidOfTiming({ timing, absolute, faults, limits, runsOff, interval }: Verdict): Said[] {
  const { chop, low } = timing;
  const main = chop ?? low;
  if (!main) return [];
  const name = chop ? 'Chops' : 'Low notes';
  const uneven = faults.includes('uneven');
  const spread = `spread ${Math.round(main.spread)} ms`;
  const even = uneven
    ? `uneven (${spread}; up to ${Math.round(limits.spread)} is steady here)`
    : `steady (${spread})`;
  const place = absolute && !runsOff ? `${placeOf(main)}, ` : '';
  const isFault = uneven || faults.includes('ahead') || faults.includes('behind');
  const said: Said[] = [{ weight: isFault ? 75 : 20, line: `${name} ${place}${even}` }];
  if (chop && low) {
    const apart = low.mean - chop.mean;
    // Told only where it is surely there, and more than would be noticed.
    const sure = Math.hypot(low.meanWithin, chop.meanWithin);
    if (Math.abs(apart) - sure > justNoticed(interval))
      said.push({
        weight: 25,
        line: `Low notes come ${Math.round(Math.abs(apart))} ms ${apart > 0 ? 'later' : 'sooner'} than the chops`,
      });
  }
  return said;
}

/** Where strokes fall; what may as well be on the beat is on it. */
function placeOf({ mean, meanWithin }: Estimate): string {
  const ms = Math.round(Math.abs(mean));
  if (ms < 3 || Math.abs(mean) < meanWithin) return 'on the beat';
  return mean < 0 ? `${ms} ms ahead of the beat` : `${ms} ms behind the beat`;
}
