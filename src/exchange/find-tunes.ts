import { good } from '../base/outcome.js';
import { abcTunes, readAbc } from './abc-read.js';
import { decodedText } from './decoded-text.js';
import type { FoundSong } from './format.js';

/** The tunes of an ABC file. */
export function findTunes(bytes: Uint8Array): readonly FoundSong[] {
  return abcTunes(decodedText(bytes)).map((tune) => ({
    line: tune.first,
    number: tune.number,
    title: tune.title,
    read: () => good(readAbc(tune)),
  }));
}
