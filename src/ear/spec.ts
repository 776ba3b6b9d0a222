import { good, misread, type Outcome } from '../base/outcome.js';
import type { EarSpec } from './messages.js';

/** Samples a second of a named pipe, where no rate is given. */
const pipeRate = 48_000;
const [leastRate, mostRate] = [8000, 192_000];

/**
 * Reads where sound is heard, as the command line names it: a microphone by name, part of a name or number as `barkline ports`
 * lists them, `default`, `file:PATH` (a WAV file) or `raw:PATH` (a pipe of 32-bit floats; `raw:RATE:PATH` at another rate than 48000).
 */
export function parseEar(text: string): Outcome<EarSpec> {
  const name = text.trim();
  if (name === '')
    return misread('no microphone is named; write default, or a name that barkline ports lists');
  if (name === 'default') return good({ kind: 'microphone', name: null });
  const [, kind, rest = ''] = /^(file|raw):(.*)$/s.exec(name) ?? [];
  if (!kind) return good({ kind: 'microphone', name });
  const [, rate, path = rest] = (kind === 'raw' && /^(\d+):(.*)$/s.exec(rest)) || [];
  if (path === '') return misread(`${kind}: the path is missing; write ${kind}:PATH`);
  if (kind === 'file') return good({ kind, path });
  const samples = rate === undefined ? pipeRate : Number(rate);
  if (samples < leastRate || samples > mostRate)
    return misread(`a sample rate of ${rate} cannot be used; write one from ${leastRate} to ${mostRate}`);
  return good({ kind: 'raw', path, rate: samples });
}

/** Where sound is heard, as the command line names it. `parseEar` reads it back. */
export function earText(from: EarSpec): string {
  if (from.kind === 'microphone') return from.name ?? 'default';
  return from.kind === 'file' ? `file:${from.path}` : `raw:${from.rate}:${from.path}`;
}
