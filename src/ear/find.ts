import { didYouMean } from '../base/nearest.js';
import { good, type Outcome } from '../base/outcome.js';
import { fewNames, quoted } from '../base/safe-text.js';
import type { Microphone } from './messages.js';

/**
 * The microphone that is meant: by its number as listed (from 1), its name, what it is known by, or a part of either that only one
 * has. The fault is one sentence.
 */
export function findMicrophone(wanted: string, there: readonly Microphone[]): Outcome<Microphone, string> {
  const listed =
    there.length === 0
      ? 'there are none now; connect one'
      : `there are: ${fewNames(there.map(({ name }, index) => `${index + 1} ${name}`))}`;
  if (/^\d+$/.test(wanted)) {
    const one = there[Number(wanted) - 1];
    return one ? good(one) : { ok: false, fault: `there is no microphone ${wanted.slice(0, 9)}; ${listed}` };
  }
  const low = wanted.toLowerCase();
  const among = (fits: (text: string) => boolean): readonly Microphone[] =>
    there.filter(({ name, label }) => fits(name.toLowerCase()) || fits(label.toLowerCase()));
  const exact = among((text) => text === low);
  if (exact[0] && (exact.length === 1 || exact[0].name.toLowerCase() === low)) return good(exact[0]);
  const part = among((text) => text.includes(low));
  if (part.length === 1) return good(part[0] as Microphone);
  if (part.length > 1)
    return { ok: false, fault: `${quoted(wanted)} matches several microphones; ${listed}` };
  const near = didYouMean(
    wanted,
    there.flatMap(({ name, label }) => [name, label]),
  );
  return {
    ok: false,
    fault: `there is no microphone ${quoted(wanted)}${near === '' ? `; ${listed}` : near}`,
  };
}
