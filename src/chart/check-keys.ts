import { quoted } from '../base/safe-text.js';
import { type Key, keyName } from '../theory/key.js';
import { pitchClass } from '../theory/pitch.js';
import type { Change, Chart, FormEntry, Place, PlayedBar, SectionLine } from './chart.js';
import type { Faults } from './fault.js';
import { lettersBehind } from './write.js';

/** The most keys of a chain that a sentence spells out. */
const mostNamed = 6;

/** How a change of key was come to: how often, in which keys, and whether they are always the same. */
interface Heard {
  readonly first: Key;
  readonly before: string[];
  readonly behind: string[];
  times: number;
  differs: boolean;
}

/** Gathers, while a chart is unrolled, the changes by half steps that lead to other keys when they are come to again. */
export class KeysHeard {
  private readonly heard = new Map<Change, Map<FormEntry | null, Heard>>();

  /** To be told every change of one pass, as `UnrollOptions.onChange` is. */
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

  /** Warns, at its place, of every change that leads to other keys each time. */
  tell(chart: Chart, faults: Faults): void {
    for (const { name, lines } of chart.sections)
      for (const { items } of lines)
        for (const item of items) {
          if (item.kind !== 'change' || item.change.kind !== 'key') continue;
          const heard = [...(this.heard.get(item.change)?.values() ?? [])].find(({ differs }) => differs);
          if (heard) faults.warning(item.place, climbText(name, item.change.halfSteps, heard));
        }
  }
}

function climbText(
  section: string,
  halfSteps: number,
  { first, before, behind, times, differs }: Heard,
): string {
  const often = times === 2 ? 'twice' : `${times} times`;
  const chained = differs && behind.every((_, at) => at === 0 || before[at] === behind[at - 1]);
  const keys = chained ? [before[0], ...behind] : behind;
  const more = times > behind.length ? ' …' : '';
  const where = chained
    ? `goes ${halfSteps > 0 ? 'up' : 'down'} each time: ${keys.join(' ')}${more}`
    : `goes to other keys: ${keys.join(', ')}${more}`;
  return `section ${quoted(section)} comes here ${often} and ${where}; for one key write @key=${keyName(first)}`;
}

/**
 * Warns of every section in letters that is played in another key than its letters are read against: they sound as others. An
 * entry of the form with a key of its own means just that.
 */
export function checkLetters(chart: Chart, bars: readonly PlayedBar[], faults: Faults): void {
  const sections = chart.sections.map(({ letters, lines }) => (letters ? lettersOf(lines, chart.key) : null));
  if (sections.every((one) => one === null)) return;
  const told = new Set<string>();
  for (const { source, entry, key } of bars) {
    const written = sections[source.section]?.[source.line]?.[source.bar];
    if (!written || chart.form[entry]?.key) continue;
    const stretch = `${source.section} ${keyName(written.key)} ${written.isFirst}`;
    if (told.has(stretch)) continue;
    if (pitchClass(written.key.tonic) === pitchClass(key.tonic)) continue;
    told.add(stretch);
    const { name } = chart.sections[source.section] as Chart['sections'][number];
    const to = keyName(key);
    const instead = written.isFirst ? `write @key=${to} before them` : `write @key=${to} for the half steps`;
    faults.warning(
      written.place,
      `the letters of section ${quoted(name)} are read in ${keyName(written.key)} and played in ${to}: ${written.key.tonic} sounds as ${key.tonic}; so that they sound as they stand, ${instead}`,
    );
  }
}

/** A bar in letters: its place, the key it is read against, and whether no change of key stands before it in its section. */
interface LettersBar {
  readonly place: Place;
  readonly key: Key;
  readonly isFirst: boolean;
}

function lettersOf(lines: readonly SectionLine[], home: Key): readonly (readonly LettersBar[])[] {
  let key = home;
  let isFirst = true;
  return lines.map(({ items, comment }) =>
    items.flatMap((item): LettersBar[] => {
      if (item.kind === 'change' && item.change.kind.startsWith('key')) isFirst = false;
      key = lettersBehind({ items: [item], comment }, key, home);
      return item.kind === 'bar' ? [{ place: item.place, key, isFirst }] : [];
    }),
  );
}
