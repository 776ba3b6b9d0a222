import { readMusicXml } from '../../src/exchange/musicxml-read.js';

/** What is read of a score that must be good. */
export function scoreOf(text: string) {
  const read = readMusicXml(text);
  if (!read.ok) throw new Error(read.fault.message);
  return read.value;
}
