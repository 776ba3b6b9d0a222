import { didYouMean } from '../base/nearest.js';
import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import type { InSpec, OutSpec } from './messages.js';

const kinds = ['midi', 'virtual', 'raw', 'sound', 'none'];

/** Reads an output as the command line names it: `midi:NAME-OR-NUMBER`, `virtual[:NAME]`, `raw:PATH`, `sound`, `none`. */
export function parseOut(text: string): Outcome<OutSpec> {
  const [, kind = '', rest] = /^([a-z]*)(?::(.*))?$/s.exec(text) ?? [];
  if (kind === 'sound' && rest === undefined) return good({ kind });
  if (kind === 'none' && rest === undefined) return good({ kind });
  if (kind === 'midi' && rest) return good({ kind, port: rest });
  if (kind === 'virtual') return good({ kind, name: rest || 'barkline' });
  if (kind === 'raw' && rest) return good({ kind, path: rest });
  const near = kinds.includes(kind) ? '' : didYouMean(kind, kinds);
  return misread(
    `${quoted(text)} is not an output${near}; write midi:NAME-OR-NUMBER, virtual:NAME, raw:PATH, sound or none`,
  );
}

/** Reads where an external clock is heard: `midi:NAME-OR-NUMBER` or `raw:PATH`. */
export function parseIn(text: string): Outcome<InSpec> {
  const [, kind = '', rest = ''] = /^([a-z]*):(.*)$/s.exec(text) ?? [];
  if (kind === 'midi' && rest) return good({ kind, port: rest });
  if (kind === 'raw' && rest) return good({ kind, path: rest });
  return misread(`${quoted(text)} is not a source of a clock; write midi:NAME-OR-NUMBER or raw:PATH`);
}

/** An output as the command line names it. `parseOut` reads it back. */
export function outText(out: OutSpec): string {
  if (out.kind === 'midi') return `midi:${out.port}`;
  if (out.kind === 'virtual') return `virtual:${out.name}`;
  return out.kind === 'raw' ? `raw:${out.path}` : out.kind;
}
