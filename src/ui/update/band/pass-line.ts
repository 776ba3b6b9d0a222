import type { Verdict } from '../../../listen/verdict.js';
import type { Performance } from '../../../playback/performance.js';
import type { PassResult } from '../../../shed/ladder.js';

const songAt = ({ setup: { chart, bpm } }: Performance): string => `${chart.title}, ${Math.round(bpm)}`;

/** A student's word on a pass, as the teacher reads it. */
export function saidLine(performance: Performance, said: PassResult): string {
  return `${songAt(performance)}: ${said === 'clean' ? 'clean' : 'missed'}, as the student says`;
}

/** What was heard of a student's pass, as the teacher reads it; `says`: what was heard, in sentences. */
export function heardLine(performance: Performance, { result }: Verdict, says: readonly string[]): string {
  const word = result === 'clean' ? 'clean' : result === 'not clean' ? 'not clean' : 'not heard';
  const first = says[0] ?? '';
  return first === '' ? `${songAt(performance)}: ${word}` : `${songAt(performance)}: ${word}; ${first}`;
}
