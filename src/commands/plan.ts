import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { chordLabel, numberLabel } from '../chart/label.js';
import { unroll } from '../chart/unroll.js';
import type { Alternative } from '../hand/alternatives.js';
import { changesOf } from '../hand/changes.js';
import { type Finger, type Fingering, fretsText } from '../hand/fingering.js';
import { plainGlance, widestGlance } from '../hand/glance.js';
import { type HardChange, hardChanges } from '../hand/hard-changes.js';
import { type NeckSight, neckSight } from '../hand/neck-sight.js';
import { type PlannedChange, planHand } from '../hand/plan.js';
import { prompt } from '../hand/prompt.js';
import { chordName } from '../theory/chord.js';
import { keyName } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { type LabelledShape, shapeSheet } from '../ui/draw/shape-sheet.js';
import { exit, print, printDocument, Stop } from './exit.js';
import { instrumentFlag, instrumentOf } from './instrument-flag.js';
import { type PlanFlags, planOptions } from './plan-flags.js';
import { settingsOf } from './settings.js';
import { readFlags } from './stand-start.js';

/** Hardest changes that are shown as text. */
const shownHardest = 8;

/** Prints the hand plan of a chart: every chord as it comes, and the hardest changes. */
export function plan(chart: Chart, flags: PlanFlags): number {
  const { key } = readFlags(chart, null, flags.key === undefined ? {} : { key: flags.key });
  const instrument = flags.instrument === undefined ? instrumentOf(chart) : instrumentFlag(flags.instrument);
  const settings = settingsOf();
  const options = planOptions(flags, settings);
  const sight = neckSight(settings.neck, options.hand);
  const made = planHand(changesOf(unroll(chart, { key }).bars), instrument, options);
  if (
    options.start !== null &&
    !made.changes.some((change) => change.fingering && fretsText(change.fingering.frets) === options.start)
  ) {
    throw new Stop(
      exit.call,
      `--start ${options.start} is not a shape of the first chord that this hand can hold`,
      'barkline shapes CHORD --all lists them',
    );
  }
  const hardest = hardChanges(made);
  if (flags.json) {
    printDocument(
      jsonText(
        {
          key: keyName(key),
          instrument: instrument.id,
          totalMs: made.totalMs,
          changes: made.changes.map((change) => changeJson(change, sight)),
          hardest: hardest.map(hardJson),
        },
        2,
      ),
    );
    return exit.done;
  }
  const unicode = flags.unicode !== false;
  print(`${safeText(chart.title)}, key ${keyName(key)}, on the ${safeText(instrument.name)}`);
  for (const change of made.changes) {
    print(changeLine(change, unicode, sight));
    if (flags.explain) for (const one of change.alternatives.slice(0, 3)) print(alternativeLine(one));
  }
  const sheet = shapeSheet(shapesUsed(made.changes, unicode), instrument, { unicode, sight });
  if (sheet.length > 0) print('', 'shapes', ...sheet.map((line) => `  ${line}`.trimEnd()));
  if (hardest.length > 0) print('', 'hardest changes');
  for (const one of hardest.slice(0, shownHardest)) print(hardLine(one, unicode));
  return exit.done;
}

/** Every shape of a plan once, as it first comes. */
function shapesUsed(changes: readonly PlannedChange[], unicode: boolean): LabelledShape[] {
  const seen = new Set<string>();
  return changes.flatMap(({ chord, fingering }) => {
    if (!fingering) return [];
    const label = `${chordLabel(chord, unicode)}  ${fretsText(fingering.frets)}`;
    const name = `${label} ${fingering.fingers.join()}`;
    if (seen.has(name)) return [];
    seen.add(name);
    return [{ label, fingering }];
  });
}

function alternativeLine({ fingering, moreMs }: Alternative): string {
  const remark = fingering.remark === '' ? '' : `  ${fingering.remark}`;
  const more = moreMs < 0 ? `${-moreMs} ms less` : `${moreMs} ms more`;
  return `  ${''.padEnd(15)} or     ${fretsText(fingering.frets).padEnd(12)} ${fingerLetters(fingering.fingers)}  ${more} a pass${remark}`;
}

function changeJson(change: PlannedChange, sight: NeckSight): unknown {
  const said = change.motion && prompt(change.motion, sight);
  return {
    bar: change.bar + 1,
    beat: change.beat + 1,
    number: numberText(change.number),
    chord: chordName(change.chord),
    frets: change.fingering?.frets ?? null,
    fingers: change.fingering?.fingers ?? null,
    remark: change.fingering?.remark ?? '',
    motion: change.motion && {
      planted: change.motion.planted,
      shared: change.motion.shared,
      moves: change.motion.moves,
      lifts: change.motion.lifts,
      lands: change.motion.lands,
    },
    prompt: said?.sentence ?? null,
    glance: said?.glance ?? null,
    ms: change.motion?.ms ?? null,
    alternatives: change.alternatives.map(({ fingering, moreMs }) => ({
      frets: fingering.frets,
      fingers: fingering.fingers,
      moreMs,
      remark: fingering.remark,
    })),
  };
}

function hardJson({ from, to, ms, times, bpm }: HardChange): unknown {
  return {
    from: chordName(from.chord),
    to: chordName(to.chord),
    fromFrets: from.fingering?.frets,
    toFrets: to.fingering?.frets,
    ms,
    times,
    bpm,
  };
}

/** Fingers as letters, bass side first: `L R I M`. */
export function fingerLetters(fingers: Fingering['fingers']): string {
  return fingers
    .map((finger: Finger | null) => (finger === null ? '.' : ('IMRL'[finger - 1] as string)))
    .join(' ');
}

function changeLine(change: PlannedChange, unicode: boolean, sight: NeckSight): string {
  const place = `bar ${change.bar + 1}${change.beat > 0 ? `.${Math.floor(change.beat) + 1}` : ''}`.padEnd(9);
  const chord = `${numberLabel(change.number, unicode).padEnd(5)} ${chordLabel(change.chord, unicode).padEnd(6)}`;
  if (!change.fingering) return `  ${place} ${chord} no closed shape is known`;
  const said = change.motion && prompt(change.motion, sight);
  const glance = said ? (unicode ? said.glance : plainGlance(said.glance)) : '';
  const remark = change.fingering.remark === '' ? '' : ` (${change.fingering.remark})`;
  return `  ${place} ${chord} ${fretsText(change.fingering.frets).padEnd(12)} ${fingerLetters(change.fingering.fingers)}  ${String(change.motion?.ms ?? 0).padStart(4)} ms  ${glance.padEnd(widestGlance)} ${said?.sentence ?? ''}${remark}`.trimEnd();
}

function hardLine({ from, to, ms, times, bpm }: HardChange, unicode: boolean): string {
  const shape = (change: PlannedChange): string =>
    `${chordLabel(change.chord, unicode)} ${change.fingering ? fretsText(change.fingering.frets) : ''}`;
  return `  ${`${shape(from)} to ${shape(to)}`.padEnd(38)} ${String(ms).padStart(4)} ms, ${times} ${times === 1 ? 'time' : 'times'}, fits up to ${bpm} quarters a minute`;
}
