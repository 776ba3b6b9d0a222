import type { Section, SectionLine } from './chart.js';
import { amidPhrase, phraseWords } from './phrase-words.js';
import type { Step } from './play-through.js';

/** The steps of a section, its bars with the words of their phrases; the steps themselves where it has no words. */
export function markPhrases(steps: Step[], section: Section): Step[] {
  const above = phraseWords(section);
  if (above.size === 0) return steps;
  const entries = new Map([...above.keys()].map((line) => [line, entryBars(section.lines[line])]));
  let before = { line: -1, bar: -1 };
  return steps.map((step) => {
    if (step.kind !== 'bar') return step;
    const { line, bar } = step.source;
    const comesTo = line !== before.line || bar <= before.bar;
    before = { line, bar };
    const words = above.get(line);
    if (!words) return step;
    const begins = comesTo && (entries.get(line)?.has(bar) ?? false);
    return { ...step, words, begins };
  });
}

/** The bars a phrase can begin with: its first, or the first of each ending where it begins with endings. */
function entryBars(line: SectionLine | undefined): ReadonlySet<number> {
  const entries = new Set<number>();
  let bar = 0;
  let inEnding = false;
  let first = true;
  for (const { kind } of line?.items ?? []) {
    if (kind === 'ending-open') {
      inEnding = true;
      first = true;
    } else if (kind === 'ending-close') {
      inEnding = false;
      first = true;
    } else if (kind === 'bar') {
      if (first) entries.add(bar);
      first = false;
      bar += 1;
      if (!inEnding) break;
    }
  }
  return entries;
}

/** A piece of a section. If it begins in the middle of a phrase with words, its first bar has them, after an ellipsis. */
export function takenUp(steps: Step[]): Step[] {
  const at = steps.findIndex(({ kind }) => kind === 'bar');
  const first = steps[at];
  if (first?.kind !== 'bar' || !first.words || first.begins) return steps;
  return steps.with(at, { ...first, words: amidPhrase(first.words), begins: true });
}
