import { readFileSync } from 'node:fs';
import { userInfo } from 'node:os';
import type { PartName } from '../band/parts.js';
import { safeText } from '../base/safe-text.js';
import { type BrokerAddress, readAddress } from '../link/address.js';
import { readWord } from '../link/word.js';
import { highestCapo } from '../theory/capo.js';
import { exit, Stop } from './exit.js';
import { wholeFlag } from './whole-flag.js';

/** What leading and joining have in common. */
export interface BandFlags {
  readonly word?: string;
  readonly part?: PartName;
  readonly name?: string;
  readonly ca?: string;
  readonly capo?: string;
}

/**
 * The word as it was given: by the flag, from stdin for `-`, or by the environment; `null` where there is none. Throws `Stop` for one that could be
 * guessed.
 */
export function wordFlag(flag: string | undefined, env: NodeJS.ProcessEnv = process.env): string | null {
  const given = flag === '-' ? firstLine() : (flag ?? env.BARKLINE_WORD);
  if (given === undefined || (flag === undefined && given === '')) return null;
  const read = readWord(given);
  if (read.ok) return given.trim();
  throw new Stop(exit.call, read.fault.message);
}

function firstLine(): string {
  try {
    return (readFileSync(0, 'utf8').split('\n')[0] ?? '').trim();
  } catch {
    return '';
  }
}

/** The address of a broker as it was given, or by `BARKLINE_BROKER`; `null` where there is none. It is never repeated: it may have a password. */
export function addressFlag(
  name: string,
  flag: string | undefined,
  env: NodeJS.ProcessEnv = process.env,
): BrokerAddress | null {
  const given = flag ?? env.BARKLINE_BROKER;
  if (given === undefined || given === '') return null;
  const read = readAddress(given);
  if (read.ok) return read.value;
  throw new Stop(exit.call, `${flag === undefined ? 'BARKLINE_BROKER' : name}: ${read.fault.message}`);
}

/** Reads the file of `--ca`. */
export function caFlag(file: string | undefined): Uint8Array | null {
  if (file === undefined) return null;
  let text: Buffer;
  try {
    text = readFileSync(file);
  } catch {
    throw new Stop(exit.call, `--ca ${safeText(file)} cannot be read`, 'name a file with certificates (PEM)');
  }
  if (text.includes('-----BEGIN CERTIFICATE-----')) return text;
  throw new Stop(
    exit.call,
    `--ca ${safeText(file)} has no certificate`,
    'name a file with certificates (PEM)',
  );
}

/** Reads `--capo N` and `--capo auto`; `null` for the latter. */
export function bandCapo(flag: string | undefined): number | null {
  return flag === undefined || flag === 'auto' ? null : wholeFlag('capo', flag, 0, highestCapo);
}

/** What this stand is called in its band: the name that was given, else the user's name. */
export function nameFlag(flag: string | undefined, part: PartName): string {
  const name = safeText((flag ?? userName()).trim());
  return [...(name === '' ? part : name)].reduce(
    (all, one) => (all.length + one.length <= 40 ? all + one : all),
    '',
  );
}

function userName(): string {
  try {
    return userInfo().username;
  } catch {
    return '';
  }
}
