import { tempoLimits } from '../chart/change.js';
import { chartOfText } from '../shed/chart-of-text.js';
import { drillKinds } from '../shed/drill.js';
import { unseenChart } from '../shed/unseen.js';
import type { UnseenLevel } from '../shed/unseen-levels.js';
import { exit, printDocument, Stop } from './exit.js';
import { refuseListening } from './listening-flags.js';
import { keyFlag } from './play-options.js';
import { screenLack } from './screen.js';
import { type StandFlags, standFlags, whoFlag } from './shed-common.js';
import { canBeTyped } from './typed-input.js';
import { wholeFlag } from './whole-flag.js';

/** The options of `shed unseen`. */
export interface UnseenFlags extends StandFlags {
  readonly seed?: number;
  readonly key?: string;
  readonly level?: UnseenLevel;
  readonly tempo?: string;
  readonly late?: number;
  readonly who?: string;
}

/** A chart that nobody has seen: on the stand, to be played at sight, or printed where there is no terminal. */
export async function shedUnseen(flags: UnseenFlags): Promise<number> {
  const { seed = Date.now() % 1_000_000, level = 'fair', late } = flags;
  const key = keyFlag(flags.key ?? 'G');
  const bpm =
    flags.tempo === undefined ? 160 : wholeFlag('tempo', flags.tempo, tempoLimits.least, tempoLimits.most);
  const text = unseenChart({ seed, key, level, bpm });
  const lack = screenLack();
  const typed = flags.plain === true && (await canBeTyped());
  if (lack !== null && !typed) {
    refuseListening(flags, lack);
    printDocument(text);
    return exit.done;
  }
  const chart = chartOfText(text);
  if (!chart) throw new Stop(exit.machine, 'the new chart cannot be read', 'please report it, with the seed');
  const { openStand } = await import('./stand.js');
  const { standStart } = await import('./stand-start.js');
  return openStand({
    ...(typed ? { plain: { begins: false } } : {}),
    flags: standFlags(flags),
    who: whoFlag(flags.who),
    first: ({ settings }) => {
      return {
        kind: 'chart-opened',
        file: '',
        chart,
        source: '',
        start: standStart(chart, null, {}, settings),
        drill: {
          kind: 'unseen',
          title: chart.title,
          says: drillKinds.unseen,
          chart,
          start: { share: 1, ladder: false, numbersOnly: true, ...(late === undefined ? {} : { late }) },
          from: chart.title,
        },
      };
    },
  });
}
