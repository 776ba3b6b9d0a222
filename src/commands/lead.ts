import { resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { remember } from '../config/remembered.js';
import type { BrokerAddress } from '../link/address.js';
import { bandCall } from './band-call.js';
import { addressFlag, type BandFlags, caFlag, nameFlag, wordFlag } from './band-flags.js';
import type { BandPlace } from './band-meeting.js';
import { exit, Stop, say } from './exit.js';
import { refuseListening } from './listening-flags.js';
import { loadGood } from './load.js';
import type { PlayFlags } from './play-options.js';
import { screenLack } from './screen.js';
import { settingsOf } from './settings.js';
import { whoFlag } from './shed-common.js';
import { standStart } from './stand-start.js';

/** The options of `lead`, as commander gives them. */
export interface LeadFlags extends PlayFlags, BandFlags {
  readonly port?: number;
  readonly broker?: string;
  /** How many stands are waited for. */
  readonly wait?: number;
  /** A teacher's. */
  readonly class?: boolean;
}

/** Leads a band: on the stand, or plainly when asked to or when stdout is not a terminal. */
export async function leadBand(file: string | undefined, flags: LeadFlags): Promise<number> {
  const place = leadPlace(flags);
  const content = file === undefined ? null : loadGood(file);
  if (content?.kind === 'instrument' || content?.kind === 'pattern')
    throw new Stop(
      exit.call,
      `${safeText(file ?? '')} is ${content.kind === 'instrument' ? 'an' : 'a'} ${content.kind}; a band cannot play it`,
      'name a chart or a set',
    );
  const lack = screenLack();
  if (flags.plain || lack !== null) {
    refuseListening(flags, flags.plain ? 'leave out --plain' : (lack ?? ''));
    if (file === undefined || !content)
      throw new Stop(
        exit.call,
        'no chart was named, and without the screen there is no list to choose from',
        'name a chart or a set: barkline lead FILE --plain',
      );
    if (flags.follow !== undefined)
      throw new Stop(
        exit.call,
        'a band leader can use --follow only on the full screen',
        'leave out --plain',
      );
    if (!flags.plain && process.stdout.isTTY && process.stdin.isTTY)
      say(`${lack}; one line is printed for each bar instead`);
    remember({ last: resolve(file) });
    const { leadPlain } = await import('./lead-plain.js');
    return leadPlain({ file, content, flags, place });
  }
  const who = whoFlag(flags.who);
  if (content?.kind === 'chart') standStart(content.chart, null, flags, settingsOf(who));
  if (file !== undefined) remember({ last: resolve(file) });
  const { openStand } = await import('./stand.js');
  const band = bandCall(flags, place, 'lead');
  return openStand({ ...(file === undefined ? {} : { file: resolve(file) }), flags, who, band });
}

/** Where a leader meets its band, by its flags. */
export function leadPlace(flags: LeadFlags): BandPlace {
  const address: BrokerAddress | null = addressFlag('--broker', flags.broker);
  if (address && flags.port !== undefined)
    throw new Stop(
      exit.call,
      '--port is for your own broker, but the address of --broker has its own port',
      'leave out one of them',
    );
  return {
    word: wordFlag(flags.word),
    address,
    port: flags.port ?? null,
    ca: caFlag(flags.ca),
    name: nameFlag(flags.name, flags.part ?? 'mandolin'),
  };
}
