import { join } from 'node:path';
import * as v from 'valibot';
import { type Pedal, parsePedal, pedalText, pedalUses } from '../playback/pedals.js';
import { folders } from './folders.js';
import { type StateFile, stateFile } from './state-file.js';

const entry = v.object({ use: v.picklist(pedalUses), pedal: v.string() });
const schema = v.array(v.unknown());

/** The pedals that were learned by pressing; none where nothing usable is kept. */
export function recallPedals(folder: string = folders.state): readonly Pedal[] {
  return (fileIn(folder).read() ?? []).flatMap((one): Pedal[] => {
    const read = v.safeParse(entry, one);
    if (!read.success) return [];
    const parsed = parsePedal(read.output.pedal);
    return parsed.ok ? [{ use: read.output.use, ...parsed.value }] : [];
  });
}

/** Keeps the pedals. Failure does not matter: they are learned again. */
export function keepPedals(pedals: readonly Pedal[], folder: string = folders.state): void {
  fileIn(folder).write(pedals.map((pedal) => ({ use: pedal.use, pedal: pedalText(pedal) })));
}

function fileIn(folder: string): StateFile<unknown[]> {
  return stateFile(join(folder, 'pedals.json'), schema);
}
