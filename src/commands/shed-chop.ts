import { chopPage } from '../shed/chop-page.js';
import { type ChopStep, chopSteps } from '../shed/chop-steps.js';
import { chopDrill } from '../shed/drills.js';
import { bareChart } from '../shed/make-chart.js';
import { exit, print, Stop } from './exit.js';
import { openDrill } from './open-drill.js';
import { keyFlag } from './play-options.js';
import { type StandFlags, whoFlag } from './shed-common.js';

/** The options of `shed chop`. */
export interface ChopFlags extends StandFlags {
  readonly key?: string;
  readonly who?: string;
}

/** The chop's page, or one of its drills on the stand. Answers the exit status. */
export async function shedChop(step: ChopStep | undefined, flags: ChopFlags): Promise<number> {
  const who = whoFlag(flags.who);
  const key = keyFlag(flags.key ?? 'G');
  if (step === undefined) {
    print(...chopPage());
    return exit.done;
  }
  const drill = chopDrill(bareChart(key, 120), chopSteps[step].kind);
  if (!drill) throw new Stop(exit.machine, 'the drill cannot be made', 'please report it');
  return openDrill(drill, flags, who);
}
