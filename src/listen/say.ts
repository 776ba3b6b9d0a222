import { noteName } from '../theory/pitch.js';
import { barList, barRange } from './bar-list.js';
import type { StrokeKind } from './expected.js';
import { tempoGained } from './run-off.js';
import { type Said, saidOfChords } from './say-chords.js';
import { saidOfTiming } from './say-timing.js';
import type { Verdict } from './verdict.js';

/** The most lines that are said after a pass. */
const mostLines = 4;

const kindNames = { low: 'the low notes', chop: 'the chops', up: 'the upstrokes' } as const;
const strokeKinds = Object.keys(kindNames) as StrokeKind[];

/** What is known about a pass, to make its verdict in words. */
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

function notHeard(verdict: Verdict): string[] {
  const { faults, strokes, extra } = verdict;
  const heard = strokes.filter((one) => one.heard !== null).length;
  if (faults.includes('disturbed'))
    return ['Not judged: for some of it there was no microphone, or the sound was too loud or too noisy'];
  if (faults.includes('somebody else'))
    return [
      `Not judged: ${heard} strokes of the pass and ${extra.length} others were heard; somebody else seems to play`,
      'Move the microphone nearer to your instrument, or use headphones',
    ];
  const nearer = 'move the microphone nearer, or check its level in the system settings';
  if (heard === 0) return ['Not judged: nothing was heard', `If you played, ${nearer}`];
  return (
    saidOfOneKind(strokes) ??
    saidOfRest(verdict) ?? [
      `Not judged: ${heard} of ${strokes.length} strokes were heard`,
      `If you played all, ${nearer}`,
    ]
  );
}

/** Where all the missing strokes are of one kind, and nearly all of that kind are missing, the player left it out; `null` otherwise. */
function saidOfOneKind(strokes: Verdict['strokes']): string[] | null {
  const shareOf = (is: (kind: StrokeKind) => boolean): number => {
    const all = strokes.filter(({ expected }) => is(expected.kind));
    return all.filter(({ heard }) => heard !== null).length / all.length;
  };
  for (const kind of strokeKinds)
    if (shareOf((one) => one === kind) < 0.1 && shareOf((one) => one !== kind) > 0.9)
      return [
        `Not judged: ${kindNames[kind]} were not heard, but everything else was`,
        'If that is how you play it, choose another right-hand pattern: p on the stand, or --pattern',
      ];
  return null;
}

/** Where most of what lacks lies in a stretch of bars, it was rested there; `null` otherwise. */
function saidOfRest({ silences, strokes }: Verdict): string[] | null {
  const lacking = strokes.filter(({ heard }) => heard === null).length;
  const silent = silences.reduce((sum, one) => sum + one.strokes, 0);
  return silent > 0.8 * lacking ? [`${saidOfSilences(silences)}, so the pass is not judged`] : null;
}

function saidOfSilences(silences: Verdict['silences']): string {
  const bars = silences.slice(0, 3).map(({ from, to }) => barRange(from, to));
  return `Nothing was heard in ${bars.join(', ')}`;
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
        line: `The ${course} of the chord rang on after the chop in ${barList(bars)}: damp that course too`,
      },
    ];
  if (rang.length === 1 && one) return [{ weight, line: `The chop in ${barList(bars)} rang on` }];
  return [{ weight, line: `${rang.length} chops rang on (${barList(bars)}): let go of the frets sooner` }];
}

function saidOfWhatLacks({ silences, strokes, extra, faults }: Verdict): Said[] {
  const said: Said[] = [];
  if (silences.length > 0) {
    const judged = faults.includes('silence') ? ', so the pass is not judged' : '';
    said.push({ weight: 100, line: `${saidOfSilences(silences)}${judged}` });
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
      line: `${extra.length} more strokes were heard than the chart has; they are not judged`,
    });
  return said;
}
