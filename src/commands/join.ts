import { addressText, type BrokerAddress, readAddress } from '../link/address.js';
import { findBands } from '../link/discover.js';
import { bandCall } from './band-call.js';
import { addressFlag, type BandFlags, caFlag, nameFlag, wordFlag } from './band-flags.js';
import type { BandPlace } from './band-meeting.js';
import { exit, print, Stop, say } from './exit.js';
import { instrumentFlag } from './instrument-flag.js';
import { refuseListening } from './listening-flags.js';
import type { PlayFlags } from './play-options.js';
import { loadScreen, screenLack } from './screen.js';
import { whoFlag } from './shed-common.js';
import { canBeTyped } from './typed-input.js';

/** The options of `join`, as commander gives them. */
export interface JoinFlags extends PlayFlags, BandFlags {
  /** The user's own instrument. */
  readonly instrument?: string;
}

/** Joins a band by its word, or at an address: on the stand, or plainly when asked to or when stdout is not a terminal. */
export async function joinBand(at: string | undefined, flags: JoinFlags): Promise<number> {
  const isAddress = at?.includes('://') ?? false;
  if (at !== undefined && !isAddress && flags.word !== undefined)
    throw new Stop(
      exit.call,
      'two words were given',
      'write barkline join WORD, or barkline join URL --word WORD',
    );
  const address = addressOf(isAddress ? at : undefined);
  const word = wordFlag(isAddress ? flags.word : (at ?? flags.word));
  if (word === null) {
    if (address)
      throw new Stop(
        exit.call,
        `the band at ${addressText(address)} needs its word to join`,
        'write --word WORD, or --word - to read it from stdin, or set BARKLINE_WORD',
      );
    return listBands();
  }
  const part = flags.part ?? 'mandolin';
  const place: BandPlace = {
    word,
    address,
    port: null,
    ca: caFlag(flags.ca),
    name: nameFlag(flags.name, part),
  };
  const lack = screenLack();
  if (flags.instrument !== undefined) instrumentFlag(flags.instrument);
  say(address ? `joining the band at ${addressText(address)}` : 'looking for the band');
  if (flags.plain || lack !== null) {
    const typed = await canBeTyped();
    if (!typed) refuseListening(flags, 'there is nothing that commands could be typed on');
    if (!flags.plain && process.stdout.isTTY && process.stdin.isTTY)
      say(`${lack}; one line is printed for each bar instead`);
    if (typed) {
      const { openStand } = await import('./stand.js');
      const band = bandCall(flags, place, 'join');
      return openStand({ flags, who: whoFlag(flags.who), band, plain: { begins: false } });
    }
    return (await import('./join-plain.js')).joinPlain(flags, place);
  }
  loadScreen();
  const { openStand } = await import('./stand.js');
  return openStand({ flags, who: whoFlag(flags.who), band: bandCall(flags, place, 'join') });
}

function addressOf(text: string | undefined): BrokerAddress | null {
  if (text === undefined) return addressFlag('BARKLINE_BROKER', undefined);
  const read = readAddress(text);
  if (read.ok) return read.value;
  throw new Stop(exit.call, read.fault.message);
}

/** Without a word: the bands that can be heard of here, and how one of them is joined. */
async function listBands(): Promise<number> {
  say('looking for bands on this network');
  const found = await findBands(null);
  if (!found.ok)
    throw new Stop(exit.call, 'a word is needed to join a band: barkline join WORD', found.sentence);
  for (const { name, hosts, port } of found.bands)
    print(`${name} at ${addressText({ host: hosts[0] ?? '', port, tls: false })}`);
  say('ask the leader for the word: barkline join WORD');
  return exit.done;
}
