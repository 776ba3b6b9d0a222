import { parseKey } from '../theory/key.js';
import { parseNumber } from '../theory/number.js';
import { lateChanges } from './heard-summary.js';
import type { SittingWishes, Wanted } from './wanted.js';

/** What was heard in the last days counts, this many of them. */
const days = 14;
/** A change that came late at least this often, and in at least this share of the times it was heard, needs practice of its own. */
const fewestLate = 3;
const leastShare = 0.25;

/** Changes that were heard to come late again and again, those first that did most often. */
export function lateThings({ entries, now, target }: SittingWishes): Wanted[] {
  const recent = entries.filter(({ at }) => at > now - days * 86_400_000);
  return lateChanges(recent).flatMap(({ id, numbers, key, late, of, ms, label, target: aim }): Wanted[] => {
    const chords = numbers.split('>');
    if (late < fewestLate || late < leastShare * of || chords.length !== 2) return [];
    if (!chords.every((text) => parseNumber(text).ok) || !parseKey(key).ok) return [];
    const to = Math.max(20, Math.min(400, Math.round(aim / target)));
    return [
      {
        task: { kind: 'chords', chords: chords.join(' ') },
        key,
        tempo: { from: Math.round(to * 0.7), to },
        why: `was heard late ${late} of ${of} times, by ${ms} ms`,
        id: id ?? `late ${label}`,
      },
    ];
  });
}
