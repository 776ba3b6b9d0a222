import { openEar } from '../../ear/client.js';
import { conditionSentence } from '../../ear/conditions.js';
import type { EarSpec } from '../../ear/messages.js';
import { type ClientMessage, PlayerClient } from '../../player/client.js';
import type { FoundMicrophone, FoundMidi } from './judge-gear.js';
import type { Trial } from './verdict.js';

/*
 * Native code is tried in the processes that use it: the player's and the ear's. Each has a limited time, and is ended
 * whatever happens.
 */

/** A microphone is judged after this many levels, ten to a second. */
const enoughLevels = 12;
/** How long to wait for a click to sound, ms: far longer than the card needs. */
const clickMs = 600;
/** Note on, channel 10, the note and strength of a click on the first beat. */
const click = 0x99 | (76 << 8) | (96 << 16);

/** Opens the built-in sound; nothing is heard of that but a click, where one is wanted. */
export async function trySound(seconds: number, wantsClick: boolean): Promise<Trial<{ click: boolean }>> {
  return withPlayer(
    seconds,
    (client) => client.open([{ kind: 'sound' }]),
    async (message, client) => {
      if (message.kind === 'failed') return { kind: 'failed', why: plainly(message.reasons.join(', ')) };
      if (message.kind !== 'opened') return null;
      if (wantsClick) {
        client.send({ kind: 'send', messages: [click] });
        await new Promise((resolve) => setTimeout(resolve, clickMs));
      }
      return { kind: 'found', found: { click: wantsClick } };
    },
  );
}

/** Lists the MIDI destinations and sources. */
export async function tryMidi(seconds: number): Promise<Trial<FoundMidi>> {
  return withPlayer(
    seconds,
    (client) => client.send({ kind: 'list', sound: false }),
    (message) => {
      if (message.kind !== 'destinations') return null;
      const { midi, library, ports, sources } = message.destinations;
      if (midi !== null || library === null)
        return { kind: 'failed', why: midi ?? 'no package for MIDI loads' };
      return { kind: 'found', found: { library, outputs: ports, inputs: sources } };
    },
  );
}

/** Asks a player of its own, until `hear` answers, it dies, or its time is up. */
async function withPlayer<T>(
  seconds: number,
  ask: (client: PlayerClient) => void,
  hear: (message: ClientMessage, client: PlayerClient) => Trial<T> | null | Promise<Trial<T> | null>,
): Promise<Trial<T>> {
  let client: PlayerClient | null = null;
  // A library that hangs would go on for ever in a process that nobody ends.
  const end = (): void => client?.kill();
  process.once('exit', end);
  const trial = await new Promise<Trial<T>>((resolve) => {
    const late = (): void => resolve({ kind: 'late', seconds });
    let limit = setTimeout(late, 1000 * seconds);
    const done = (one: Trial<T>): void => {
      clearTimeout(limit);
      resolve(one);
    };
    client = new PlayerClient(async (message) => {
      if (message.kind === 'died') done({ kind: 'died', why: message.reason });
      else if (message.kind === 'ready') {
        // The limit counts only from when the process runs.
        clearTimeout(limit);
        limit = setTimeout(late, 1000 * seconds);
      } else if (client) {
        const one = await hear(message, client);
        if (one) done(one);
      }
    });
    ask(client);
  });
  await (client as PlayerClient | null)?.quit();
  process.off('exit', end);
  return trial;
}

/** Opens a microphone, hears for a good second how loud it is, and lets it go. */
export async function tryMicrophone(seconds: number, from: EarSpec): Promise<Trial<FoundMicrophone>> {
  let opened: { readonly name: string; readonly by: string } | null = null;
  let heard: Omit<FoundMicrophone, 'name' | 'by' | 'trouble'> | null = null;
  let levels = 0;
  let close: () => Promise<void> = async () => {};
  const trial = await new Promise<Trial<FoundMicrophone>>((resolve) => {
    const found = (): Trial<FoundMicrophone> =>
      opened && heard
        ? { kind: 'found', found: { ...opened, ...heard, trouble: conditionSentence(heard.condition) } }
        : { kind: 'late', seconds };
    let limit = setTimeout(() => resolve(found()), 1000 * seconds);
    const done = (one: Trial<FoundMicrophone>): void => {
      clearTimeout(limit);
      resolve(one);
    };
    const ear = openEar({
      from,
      onMessage: (message) => {
        if (message.kind === 'failed' || message.kind === 'stalled' || message.kind === 'gone')
          done({ kind: 'failed', why: message.sentence });
        else if (message.kind === 'died')
          done({ kind: 'died', why: /\((.*?)\)/.exec(message.sentence)?.[1] ?? '' });
        else if (message.kind === 'ended') done(found());
        else if (message.kind === 'opened') {
          opened = { name: message.name, by: message.by };
          clearTimeout(limit);
          limit = setTimeout(() => resolve(found()), 1000 * seconds);
        } else if (message.kind === 'level') {
          levels += 1;
          const { level, condition } = message;
          heard = { level: Math.max(level, heard?.level ?? level), condition };
          if (levels >= enoughLevels) done(found());
        }
      },
    });
    close = () => ear.quit();
  });
  await close();
  return trial;
}

/** The player's sentences begin with what there is not, which stands in front of them here. */
function plainly(sentence: string): string {
  return sentence.replace(/^no built-in sound: /, '');
}
