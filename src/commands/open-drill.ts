import { writeChart } from '../chart/write.js';
import type { Who } from '../config/diary-file.js';
import type { Drill } from '../shed/drill.js';
import { exit, printDocument } from './exit.js';
import { refuseListening } from './listening-flags.js';
import { screenLack } from './screen.js';
import { type StandFlags, standFlags } from './shed-common.js';
import { canBeTyped } from './typed-input.js';

/** A drill on the stand, as it starts there; where there is no terminal its chart is printed. Answers the exit status. */
export async function openDrill(drill: Drill, flags: StandFlags, who: Who): Promise<number> {
  const { chart } = drill;
  const lack = screenLack();
  const typed = flags.plain === true && (await canBeTyped());
  if (!typed && (flags.plain || lack !== null)) {
    refuseListening(flags, lack ?? 'there is nothing that commands could be typed on');
    printDocument(writeChart(chart));
    return exit.done;
  }
  const { openStand } = await import('./stand.js');
  const { standStart } = await import('./stand-start.js');
  return openStand({
    ...(typed ? { plain: { begins: false } } : {}),
    flags: standFlags(flags),
    who,
    first: ({ settings }) => ({
      kind: 'chart-opened',
      file: '',
      chart,
      source: '',
      start: standStart(chart, null, {}, settings),
      drill,
    }),
  });
}
