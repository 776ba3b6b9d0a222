import { quoted } from '../base/safe-text.js';
import { type Key, keyName } from '../theory/key.js';
import { pitchClass } from '../theory/pitch.js';
import type { Change, Chart, Excerpt, FormEntry, Place, PlayedBar, SectionLine } from './chart.js';
import type { Faults } from './fault.js';
import { lettersBehind } from './write.js';

/** The most keys of a chain that a sentence spells out. */
const mostNamed = 6;

/** How a change of key was reached: how often, in which keys, and whether they are always the same. */
interface Heard {
  readonly first: Key;
  readonly before: string[];
  readonly behind: string[];
  times: number;
  differs: boolean;
}

/** Gathers, while a chart is unrolled, the changes by half steps that lead to another key when they are reached again. */
export class KeysHeard {
  private readonly heard = new Map<Change, Map<FormEntry | null, Heard>>();

  /** Takes every change of one pass, as `UnrollOptions.onChange` reports it. */
  add(change: Change, before: Key, behind: Key, entry: FormEntry): void {
    if (change.kind !== 'key') return;
    const scopes = this.heard.get(change) ?? new Map<FormEntry | null, Heard>();
    this.heard.set(change, scopes);
    // An entry with a key of its own is meant to be elsewhere.
    const scope = entry.key ? entry : null;
    const known = scopes.get(scope);
    if (!known) {
      scopes.set(scope, {
        first: behind,
        before: [keyName(before)],
        behind: [keyName(behind)],
        times: 1,
        differs: false,
      });
      return;
    }
    known.times += 1;
    known.differs ||= pitchClass(behind.tonic) !== pitchClass(known.first.tonic);
    if (known.behind.length >= mostNamed) return;
    known.before.push(keyName(before));
    known.behind.push(keyName(behind));
  }

  /** Warns, at its place, of every change that leads to other keys each time; `bars` are those of the pass. */
  tell(chart: Chart, bars: readonly PlayedBar[], faults: Faults): void {
    let inOrder: string | null = null;
    for (const { name, lines } of chart.sections)
      for (const { items } of lines)
        for (const item of items) {
          if (item.kind !== 'change' || item.change.kind !== 'key') continue;
          const heard = [...(this.heard.get(item.change)?.values() ?? [])].find(({ differs }) => differs);
          if (!heard) continue;
          inOrder ??= keysInOrder(bars);
          faults.warning(item.place, climbText(name, item.change.halfSteps, heard, inOrder));
        }
  }
}

/** The keys of a pass one after the other, each where it begins, with a space on both sides of each. */
function keysInOrder(bars: readonly PlayedBar[]): string {
  const keys = bars.flatMap(({ key }, at) => {
    const before = bars[at - 1]?.key;
    return before && keyName(before) === keyName(key) ? [] : [keyName(key)];
  });
  return ` ${keys.join(' ')} `;
}

/** The keys of a chain that sound: no bar may be in the key before a change at the very beginning, or after one at the very end. */
function sounding(chain: readonly string[], inOrder: string): readonly string[] {
  const shorter = [chain, chain.slice(1), chain.slice(0, -1), chain.slice(1, -1)];
  return shorter.find((keys) => keys.length > 0 && inOrder.includes(` ${keys.join(' ')} `)) ?? chain;
}

function climbText(
  section: string,
  halfSteps: number,
  { first, before, behind, times, differs }: Heard,
  inOrder: string,
): string {
  const often = times === 2 ? 'twice' : `${times} times`;
  const chained = differs && behind.every((_, at) => at === 0 || before[at] === behind[at - 1]);
  const keys = chained ? sounding([before[0] ?? '', ...behind], inOrder) : behind;
  const more = times > behind.length ? ' …' : '';
  const where = chained
    ? `goes ${halfSteps > 0 ? 'up' : 'down'} each time: ${keys.join(' ')}${more}`
    : `goes to other keys: ${keys.join(', ')}${more}`;
  return `section ${quoted(section)} is played ${often} here and ${where}; to stay in one key, write @key=${keyName(first)}`;
}

/**
 * Warns of every section in letters that is played in another key than its letters are read against: they sound as others. An
 * entry of the form with a key of its own means just that.
 */
export function checkLetters(chart: Chart, bars: readonly PlayedBar[], faults: Faults): void {
  const sections = chart.sections.map(({ letters, lines, derived }) =>
    letters ? lettersOf(derived ? ownLines(derived) : lines, chart.key, derived !== null) : null,
  );
  if (sections.every((one) => one === null)) return;
  const told = new Set<string>();
  for (const { source, entry, key } of bars) {
    const written = sections[source.section]?.[source.line]?.[source.bar];
    if (!written || chart.form[entry]?.key) continue;
    const piece = chart.sections[source.section]?.derived ? source.line : '';
    const stretch = `${source.section} ${piece} ${keyName(written.key)} ${written.isFirst}`;
    if (told.has(stretch)) continue;
    if (pitchClass(written.key.tonic) === pitchClass(key.tonic)) continue;
    told.add(stretch);
    const { name } = chart.sections[source.section] as Chart['sections'][number];
    const to = keyName(key);
    const instead = written.isFirst
      ? `write @key=${to} before them`
      : `write @key=${to} instead of the half steps`;
    faults.warning(
      written.place,
      `the letters of section ${quoted(name)} are read in ${keyName(written.key)} but played in ${to}: ${written.key.tonic} sounds as ${key.tonic}; to hear them as written, ${instead}`,
    );
  }
}

/** A bar in letters: its place, the key it is read against, and whether no change of key comes before it in its section. */
interface LettersBar {
  readonly place: Place;
  readonly key: Key;
  readonly isFirst: boolean;
}

/** The bars of its own that each piece of a derived section has; none where a piece is taken from elsewhere. */
function ownLines(derived: readonly Excerpt[]): readonly SectionLine[] {
  return derived.map(({ take }) => ({ items: take.kind === 'own' ? take.items : [], comment: null }));
}

/** The bars in letters of each line. Each piece of a derived section is read again: `anew`. */
function lettersOf(
  lines: readonly SectionLine[],
  home: Key,
  anew: boolean,
): readonly (readonly LettersBar[])[] {
  let key = home;
  let isFirst = true;
  return lines.map(({ items, comment }) => {
    if (anew) {
      key = home;
      isFirst = true;
    }
    return items.flatMap((item): LettersBar[] => {
      if (item.kind === 'change' && item.change.kind.startsWith('key')) isFirst = false;
      key = lettersBehind({ items: [item], comment }, key, home);
      return item.kind === 'bar' ? [{ place: item.place, key, isFirst }] : [];
    });
  });
}
