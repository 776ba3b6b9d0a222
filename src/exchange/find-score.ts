import type { Outcome } from '../base/outcome.js';
import { decodedText } from './decoded-text.js';
import type { FoundSong, SongFault } from './format.js';
import type { SheetRead } from './lead-sheet.js';
import { readMusicXml } from './musicxml-read.js';
import { unpackMxl } from './unpack-mxl.js';

/** The score of a MusicXML file, compressed or not. */
export function findScore(bytes: Uint8Array): readonly FoundSong[] {
  return [{ line: 1, number: null, title: '', read: () => readScore(bytes) }];
}

function readScore(bytes: Uint8Array): Outcome<SheetRead, SongFault> {
  const isArchive = bytes[0] === 0x50 && bytes[1] === 0x4b;
  if (!isArchive) return readMusicXml(decodedText(bytes).replace(/^\ufeff/, ''));
  const text = unpackMxl(bytes);
  return text.ok
    ? readMusicXml(text.value.replace(/^\ufeff/, ''))
    : { ok: false, fault: { place: null, message: text.fault.message } };
}
