import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Pedal, parsePedal, pedalText, pedalUses } from '../playback/pedals.js';
import { folders } from './folders.js';

/** The pedals that were learned by pressing; none where nothing usable is kept. */
export function recallPedals(folder: string = folders.state): readonly Pedal[] {
  try {
    const read: unknown = JSON.parse(readFileSync(join(folder, 'pedals.json'), 'utf8'));
    if (!Array.isArray(read)) return [];
    return read.flatMap((one): Pedal[] => {
      if (typeof one !== 'object' || one === null) return [];
      const { use, pedal } = one as Record<string, unknown>;
      const known = pedalUses.find((name) => name === use);
      const parsed = typeof pedal === 'string' ? parsePedal(pedal) : '';
      return known && typeof parsed !== 'string' ? [{ use: known, ...parsed }] : [];
    });
  } catch {
    return [];
  }
}

/** Keeps the pedals, by writing aside and renaming. Failure is no matter: they are learned again. */
export function keepPedals(pedals: readonly Pedal[], folder: string = folders.state): void {
  try {
    mkdirSync(folder, { recursive: true });
    const path = join(folder, 'pedals.json');
    const aside = `${path}.${process.pid}`;
    writeFileSync(
      aside,
      JSON.stringify(pedals.map((pedal) => ({ use: pedal.use, pedal: pedalText(pedal) }))),
    );
    renameSync(aside, path);
  } catch {
    // A read-only or full disk.
  }
}
