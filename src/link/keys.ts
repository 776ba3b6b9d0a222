import { hkdf, scrypt } from 'node:crypto';
import { promisify } from 'node:util';

/** What is made of a band's word. The word itself never leaves the machine. */
export interface BandKeys {
  /** The password at our own broker: what a listener on the network can read, and from which neither word nor seal follows. */
  readonly password: string;
  /** The key under which payloads are sealed. */
  readonly seal: Buffer;
  /** What is in the band's topics, so that two bands may share a broker. */
  readonly band: string;
  /** What a leader is found by on the local network: too short to find out the word from it. */
  readonly tag: string;
}

const derive = promisify(hkdf);

/*
 * What goes over the network follows from the word alone, so anybody who hears it can try words on a machine of their own. scrypt (RFC 7914)
 * makes each try cost 16 MiB and tens of milliseconds, which a word of somebody's own needs most; with 42 bits it is out of reach.
 * The salt is the same for all: there is nowhere to learn another from before one has joined.
 */
const cost = { N: 1 << 14, r: 8, p: 1 };
const salt = Buffer.from('barkline band 1');

/**
 * Makes the keys of a word as `readWord` gave it: in a thread of its own, once per band; takes 50 ms or so. From the costly key
 * the others are derived apart (HKDF, RFC 5869), so that one says nothing about another.
 */
export async function bandKeys(word: string): Promise<BandKeys> {
  const root = await new Promise<Buffer>((resolve, reject) =>
    scrypt(Buffer.from(word, 'utf8'), salt, 32, cost, (error, key) => (error ? reject(error) : resolve(key))),
  );
  const part = async (name: string, bytes: number): Promise<Buffer> =>
    Buffer.from(await derive('sha256', root, salt, name, bytes));
  return {
    password: (await part('password', 24)).toString('base64url'),
    seal: await part('seal', 32),
    band: (await part('band', 8)).toString('hex'),
    tag: (await part('tag', 3)).toString('hex').slice(0, 5),
  };
}
