import { resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { remember } from '../config/remembered.js';
import type { BrokerAddress } from '../link/address.js';
import { bandCall } from './band-call.js';
import { addressFlag, type BandFlags, caFlag, nameFlag, wordFlag } from './band-flags.js';
import type { BandPlace } from './band-meeting.js';
import { exit, Stop, say } from './exit.js';
import { refuseListening } from './listening-flags.js';
import { type ChartSource, loadGood } from './load.js';
import { barsOpened, givesBars, loadBars } from './load-bars.js';
import type { PlayFlags } from './play-options.js';
import { screenLack } from './screen.js';
import { settingsOf } from './settings.js';
import { whoFlag } from './shed-common.js';
import type { Opening } from './stand-items.js';
import { standStart } from './stand-start.js';
import { canBeTyped } from './typed-input.js';

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
  const bars = flags.bars === undefined && flags.meter === undefined ? null : barsOf(file, flags);
  const content = bars
    ? ({ kind: 'chart', chart: bars.chart } as const)
    : file === undefined
      ? null
      : loadGood(file);
  if (content?.kind === 'instrument' || content?.kind === 'pattern')
    throw new Stop(
      exit.call,
      `${safeText(file ?? '')} is ${content.kind === 'instrument' ? 'an' : 'a'} ${content.kind}; a band cannot play it`,
      'name a chart or a set',
    );
  const lack = screenLack();
  if (flags.plain || lack !== null) {
    const typed = await canBeTyped();
    if (!typed) refuseListening(flags, 'there is nothing that commands could be typed on');
    if (!content)
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
    if (file !== undefined) remember({ last: resolve(file) });
    if (typed) {
      const passes = content.kind === 'chart' && !bars ? { passes: flags.passes ?? 1 } : {};
      const { openStand } = await import('./stand.js');
      const own = { ...flags, ...passes };
      return openStand({
        ...(bars
          ? { first: ({ settings }: Opening) => barsOpened(bars, own, settings) }
          : { file: resolve(file as string) }),
        flags: own,
        who: whoFlag(flags.who),
        band: bandCall(flags, place, 'lead'),
        plain: { begins: true, wait: flags.wait ?? 0 },
      });
    }
    const { leadPlain } = await import('./lead-plain.js');
    return leadPlain({ file: file ?? '--bars', content, flags, place });
  }
  const who = whoFlag(flags.who);
  if (content?.kind === 'chart') standStart(content.chart, null, flags, settingsOf(who));
  if (file !== undefined) remember({ last: resolve(file) });
  const { openStand } = await import('./stand.js');
  const band = bandCall(flags, place, 'lead');
  const shown = bars
    ? { first: ({ settings }: Opening) => barsOpened(bars, flags, settings) }
    : file === undefined
      ? {}
      : { file: resolve(file) };
  return openStand({ ...shown, flags, who, band });
}

function barsOf(file: string | undefined, flags: LeadFlags): ChartSource | null {
  return givesBars(file, flags, 'lead') ? loadBars(flags) : null;
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
