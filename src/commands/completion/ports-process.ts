import { listMicrophones } from '../../ear/sources/microphones.js';
import { midiSources } from '../../player/inputs/midi.js';
import { midiPorts } from '../../player/outputs/midi.js';

/*
 * A process of its own that lists the gear, because the native code for that may hang or crash. Writes one line of
 * JSON, a list of names.
 */
const lists: Readonly<Record<string, () => readonly string[] | Promise<readonly string[]>>> = {
  output: midiPorts,
  source: midiSources,
  microphone: async () => (await listMicrophones()).microphones.map(({ name }) => name),
};
const names = (await lists[process.argv[2] ?? '']?.()) ?? [];
process.stdout.write(JSON.stringify(names), () => process.exit(0));
