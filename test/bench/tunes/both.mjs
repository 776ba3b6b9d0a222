// A tune's notes twice: as our exported MIDI file has them, and as abc2midi's.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { readChart } from '../../../dist/chart/read.js';
import { songOf } from '../../../dist/commands/export-song.js';
import { readSettings } from '../../../dist/config/settings.js';
import { findTunes } from '../../../dist/exchange/find-tunes.js';
import { chartFromSheet } from '../../../dist/exchange/sheet-to-chart.js';
import { writeMidi } from '../../../dist/exchange/write-midi.js';
import { writtenChart } from '../../../dist/exchange/written-chart.js';

/** Without grace notes, chords of the accompaniment, words for loudness and fermatas: what a tune's chart has nothing of. */
export const options = ['-NGRA', '-NGUI', '-NFNP', '-NFER'];

// As where nothing is set: a folder that is not there has no settings.
const { settings } = readSettings(join(tmpdir(), 'barkline-no-settings'));

/** Whether abc2midi is there. */
export function hasReader() {
  return spawnSync('abc2midi', ['-ver']).error === undefined;
}

/**
 * The notes of each track that strikes any: quarters from the first of all, and MIDI number.
 *
 * @param named only tracks of this name; `null` for all
 */
export function struckByTrack(bytes, named = null) {
  const { header, tracks } = parseMidi(bytes);
  const struck = tracks.flatMap((events) => {
    if (named !== null && !events.some(({ type, text }) => type === 'trackName' && text === named)) return [];
    let tick = 0;
    const notes = events.flatMap((event) => {
      tick += event.deltaTime;
      const sounds = event.type === 'noteOn' && event.velocity > 0 && event.channel !== 9;
      return sounds ? [{ at: tick / header.ticksPerBeat, pitch: event.noteNumber }] : [];
    });
    return notes.length > 0 ? [notes] : [];
  });
  const first = Math.min(...struck.map(([{ at }]) => at));
  return struck.map((notes) => notes.map(({ at, pitch }) => ({ at: at - first, pitch })));
}

/** The notes of the track `lead` of what we make of the first tune of a file, or a sentence why there are none. */
export function ourNotes(bytes) {
  const [tune] = findTunes(bytes);
  const read = tune?.read();
  if (!read?.ok) return { fault: read?.fault.message ?? 'no tune is found' };
  const { chart, remarks } = chartFromSheet(read.value.sheet);
  const text = writtenChart(chart);
  if (!text.ok) return { fault: text.fault.message };
  const again = readChart(new TextEncoder().encode(text.value));
  if (!again.ok) return { fault: again.faults[0].message };
  const song = songOf(again.value, null, { flags: {}, settings, patterns: [] });
  const midi = writeMidi(song);
  if (!midi.ok) return { fault: midi.fault.message };
  const [notes = []] = struckByTrack(midi.value.content, 'lead');
  return { notes, remarks: [...read.value.remarks, ...remarks], text: text.value };
}

/** The notes of each track that abc2midi makes of the first tune of a file. */
export function theirNotes(bytes) {
  const folder = mkdtempSync(join(tmpdir(), 'barkline-'));
  try {
    writeFileSync(join(folder, 'tune.abc'), bytes);
    const found = spawnSync('abc2midi', ['tune.abc', '-o', 'out.mid', ...options], { cwd: folder });
    const says = `${found.stdout}${found.stderr}`;
    return { tracks: struckByTrack(readFileSync(join(folder, 'out.mid'))), says };
  } catch (error) {
    return { fault: `abc2midi makes no file of it: ${error.message}` };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
