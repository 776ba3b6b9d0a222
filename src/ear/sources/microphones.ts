import { good, type Outcome } from '../../base/outcome.js';
import { findMicrophone } from '../find.js';
import type { Microphone, Microphones } from '../messages.js';
import { listArecord, openArecord } from './arecord.js';
import { isMeant } from './arecord-says.js';
import { type ListedDevice, listDecibri, openDecibri } from './decibri.js';
import { CannotHear, type Source, type SourceEvents } from './source.js';

const noMeans =
  process.platform === 'linux'
    ? 'nothing can be heard: neither the program arecord nor the optional package decibri is installed; install alsa-utils'
    : 'nothing can be heard: the optional package decibri is not installed for this machine; run npm install again';

/** The microphones that can be heard now. */
export async function listMicrophones(): Promise<Microphones> {
  const { microphones, means } = await look();
  return { microphones, trouble: means ? null : noMeans };
}

/**
 * Opens a microphone, `null` for the usual one. On Linux through the system's own recorder where there is one: it goes on
 * when sound was lost and says how much, where the package's stream ends. Throws `CannotHear`.
 */
export async function openMicrophone(wanted: string | null, events: SourceEvents): Promise<Source> {
  const found = await look();
  if (!found.means) throw new CannotHear(noMeans, 'means');
  const which = wanted === null ? good(null) : chosen(wanted, found.microphones);
  if (!which.ok) throw new CannotHear(which.fault, 'absent');
  const name = which.value;
  if (!found.pcms) return openDecibri(deviceOf(name, found.devices ?? []), events);
  try {
    return await openArecord(name, events);
  } catch (error) {
    const device = deviceOf(name, found.devices ?? []);
    // What the system says of a card holds for every program; only where the recorder fails for itself is another tried.
    if (!(error instanceof CannotHear) || error.reason !== 'other' || (name !== null && !device)) throw error;
    return openDecibri(device, events).catch(() => {
      throw error;
    });
  }
}

/** The name of the microphone that is meant. The system's own names work too, though they are not all listed. */
function chosen(wanted: string, there: readonly Microphone[]): Outcome<string, string> {
  const found = findMicrophone(wanted, there);
  if (found.ok) return good(found.value.name);
  return process.platform === 'linux' && wanted.includes(':') ? good(wanted) : found;
}

function deviceOf(name: string | null, devices: readonly ListedDevice[]): ListedDevice | null {
  return devices.find((one) => nameOf(one) === name) ?? null;
}

/** On Linux the name that all programs use; elsewhere the one that the system shows. */
function nameOf({ id, name }: ListedDevice): string {
  return id.startsWith('alsa:') ? id.slice('alsa:'.length) : name;
}

async function look(): Promise<{
  microphones: readonly Microphone[];
  pcms: boolean;
  devices: readonly ListedDevice[] | null;
  means: boolean;
}> {
  const pcms = process.platform === 'linux' ? await listArecord() : null;
  const devices = await listDecibri();
  const microphones: readonly Microphone[] = pcms
    ? pcms.map((one) => ({ ...one, isDefault: one.name === 'default' }))
    : (devices ?? [])
        .filter(({ id }) => !id.startsWith('alsa:') || isMeant(id.slice('alsa:'.length)))
        .map((one) => ({ name: nameOf(one), label: one.name, isDefault: one.isDefault }));
  return { microphones, pcms: pcms !== null, devices, means: pcms !== null || devices !== null };
}
