import { closeSync } from 'node:fs';
import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { openRegular } from '../config/regular.js';
import { notWritten } from '../config/why-not.js';
import { bytesOfFile } from '../ear/sources/wav-file.js';
import { clickBeat, findClicks } from '../listen/find-clicks.js';
import { judgeTake } from '../listen/judge-take.js';
import type { Level } from '../listen/limits.js';
import { OwnSounds } from '../listen/own-sounds.js';
import { passPlan } from '../listen/pass-plan.js';
import { sayTake } from '../listen/say-take.js';
import type { PassPlan, Take } from '../listen/take.js';
import { takeJson } from '../listen/take-json.js';
import { openWav, type Wav } from '../listen/wav.js';
import { type HeardWav, hearWav } from '../listen/wav-strokes.js';
import { woodBlock } from '../player/synth/wood-block.js';
import { keyName } from '../theory/key.js';
import { type ArrangeOptions, arrange } from '../time/arrange.js';
import { exit, print, printDocument, Stop } from './exit.js';
import { instrumentFlag, instrumentOf } from './instrument-flag.js';
import { loadChart } from './load.js';
import { ownPatterns, patternFlag, refuseMisfit } from './pattern-flag.js';
import { Progress } from './progress.js';
import { planOf, settingsOf } from './settings.js';
import { readFlags } from './stand-start.js';

/** The options of `listen FILE`, as commander gives them. */
export interface ListenFlags {
  readonly chart?: string;
  readonly key?: string;
  readonly tempo?: string;
  readonly pattern?: string;
  readonly instrument?: string;
  readonly level?: Level;
  readonly json?: boolean;
}

/** A recording whose loudest sample is below this has no sound, dB below full scale: a step of 16 bits is at −90. */
const silence = -70;

/** Judges a recording of a chart, as sentences or as a JSON document. */
export function listenFile(file: string | undefined, flags: ListenFlags): number {
  if (file === undefined)
    throw new Stop(
      exit.call,
      'no recording was named',
      'write barkline listen FILE.wav --chart CHART, or barkline listen --calibrate',
    );
  if (flags.chart === undefined)
    throw new Stop(
      exit.call,
      'the chart that was played is missing',
      `write --chart CHART after ${safeText(file)}`,
    );
  const chart = loadChart(flags.chart);
  const options = arrangeOptions(chart, flags);
  const { key, bpm } = readFlags(chart, null, {
    ...keyOf(flags),
    ...(flags.tempo === undefined ? {} : { tempo: flags.tempo }),
  });
  const plans = plansOf(chart, options);
  const slowness = flags.tempo === undefined ? null : chart.tempo.bpm / bpm;
  const { take, sound, click } = withWav(file, (wav) => {
    const progress = new Progress(`listening to ${safeText(file)}`);
    const heard = progress.run(hearWav(wav), 0, 0.5);
    const click = clicksIn(wav, heard, flags.tempo === undefined ? null : 60 / bpm);
    const sound = click ? progress.run(hearWav(wav, click.own), 0.5, 0.7) : heard;
    const take = progress.run(
      judgeTake(wav, sound.strokes, { plans, slowness, level: flags.level ?? 'steady' }),
      0.7,
      1,
    );
    return { take, sound, click };
  });
  refuseUnheard(file, sound, take);
  if (flags.json) printDocument(jsonText(takeJson(take, chart.tempo.bpm), 2));
  else {
    print(`${safeText(chart.title)}, key ${keyName(key)}`);
    print(...sayTake(take, { bpm: chart.tempo.bpm }));
    for (const line of troubleOf(sound)) print(line);
    if (click && flags.tempo === undefined)
      print(
        `The recording has a click at ${click.aMinute} a minute, which was removed; to be judged by that click, give its tempo: --tempo ${click.aMinute}`,
      );
  }
  return exit.done;
}

/** The program's own clicks in a recording, and how many a minute, where it has them; `beat` in seconds, `null` where it was not told. */
function clicksIn(
  wav: Wav,
  { strokes }: HeardWav,
  beat: number | null,
): { readonly own: OwnSounds; readonly aMinute: number } | null {
  const { rate } = wav.head;
  const sounds = { accented: woodBlock(rate, true), plain: woodBlock(rate, false) };
  const onsets = strokes.map(({ sample }) => sample);
  const found = beat ?? clickBeat(wav, onsets, sounds);
  if (found === null) return null;
  const clicks = findClicks(wav, onsets, found, sounds);
  if (clicks.length === 0) return null;
  const own = new OwnSounds(rate, sounds);
  for (const { sample, sound } of clicks) own.expect({ sample, sound, level: 1 });
  return { own, aMinute: Math.round(60 / found) };
}

function keyOf({ key }: ListenFlags): { key?: string } {
  return key === undefined ? {} : { key };
}

function arrangeOptions(chart: Chart, flags: ListenFlags): ArrangeOptions {
  const settings = settingsOf();
  const own = ownPatterns();
  const pattern = flags.pattern === undefined ? null : patternFlag(flags.pattern, own);
  if (pattern) refuseMisfit(chart, pattern);
  const { key } = readFlags(chart, null, keyOf(flags));
  return {
    key,
    instrument: flags.instrument === undefined ? instrumentOf(chart) : instrumentFlag(flags.instrument),
    plan: planOf(settings),
    patterns: own,
    share: 1,
    ...(pattern ? { pattern } : {}),
  };
}

function plansOf(chart: Chart, options: ArrangeOptions): PassPlan[] {
  const made = arrange(chart, options);
  const plans = [made, ...(made.final ? [made.final] : [])].map((pass) => passPlan(chart, pass, options));
  if (plans.some(({ expected }) => expected.length > 0)) return plans;
  throw new Stop(
    exit.input,
    `${safeText(chart.title)} has no strokes for the rhythm part`,
    'choose a pattern with strokes: --pattern low-chop',
  );
}

function withWav<T>(file: string, use: (wav: Wav) => T): T {
  let descriptor: number;
  try {
    descriptor = openRegular(file);
  } catch (error) {
    const isThere = (error as NodeJS.ErrnoException).code !== 'ENOENT';
    const why = isThere ? notWritten(error).message : 'there is no such file';
    throw new Stop(exit.call, `${safeText(file)} cannot be read: ${why}`, 'name a WAV file');
  }
  try {
    const wav = openWav(bytesOfFile(descriptor));
    if (!wav.ok)
      throw new Stop(
        exit.input,
        `${safeText(file)} cannot be heard: ${wav.fault}`,
        'name a recording as a WAV file',
      );
    return use(wav.value);
  } finally {
    closeSync(descriptor);
  }
}

function refuseUnheard(file: string, { strokes, peak }: HeardWav, { passes }: Take): void {
  const name = safeText(file);
  if (peak < silence)
    throw new Stop(
      exit.input,
      `there is no sound in ${name}`,
      'check that the microphone was on, and record again',
    );
  if (strokes.length === 0)
    throw new Stop(exit.input, `no strokes were found in ${name}`, 'record closer to the instrument');
  if (passes.length === 0)
    throw new Stop(
      exit.input,
      `${strokes.length === 1 ? 'one stroke is' : `${strokes.length} strokes are`} found in ${name}, but they do not match the chart`,
      'check the chart, --key and --pattern, and that the tempo is within a third of the chart’s; or give the tempo: --tempo 140',
    );
}

function troubleOf({ clipping, noisy }: HeardWav): string[] {
  const lines: string[] = [];
  if (clipping > 0.05) lines.push('The recording is overloaded; turn down the microphone level');
  if (noisy > 0.3) lines.push('The room is nearly as loud as the music; record closer to the instrument');
  return lines;
}
