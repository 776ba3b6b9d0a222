import { barList } from './bar-list.js';
import type { ChangeFigures } from './changes.js';
import type { WrongChord } from './chord-faults.js';
import type { Verdict } from './verdict.js';

/** A line for a player, and how much it matters: the greatest comes first. */
export interface Said {
  readonly line: string;
  readonly weight: number;
}

/** The most lines on changes, and on wrong chords. */
const most = 2;
/** What is said of changes and chords. */
export function saidOfChords({ changes, wrong, strokes }: Verdict): Said[] {
  const numbers = new Map(strokes.map(({ expected }) => [expected.chord.name, expected.chord.number]));
  return [...saidOfChanges(changes), ...saidOfWrong(wrong, numbers)];
}

function saidOfChanges(changes: readonly ChangeFigures[]): Said[] {
  const late = changes.filter((one) => one.late > 0);
  // Where a number is reached from several, it is said from which.
  const ways = (to: string): number =>
    new Set(changes.filter((one) => one.to === to).map((one) => one.from)).size;
  return late.slice(0, most).map((one) => {
    const into = ways(one.to) > 1 ? `into ${one.to} from ${one.from}` : `into ${one.to}`;
    const times = one.heard > 1 ? `, ${one.late} of ${one.heard} times` : '';
    const old =
      2 * one.withOldChord > one.late
        ? `: ${one.from} was still played`
        : `: ${Math.round(one.lateMs ?? 0)} ms`;
    return {
      line: `Late ${into}${old}${times} (${barList(one.bars)})`,
      weight: 40 + 40 * (one.late / Math.max(1, one.heard)) + Math.min(10, one.late),
    };
  });
}

function saidOfWrong(wrong: readonly WrongChord[], numbers: ReadonlyMap<string, string>): Said[] {
  const groups = new Map<string, WrongChord[]>();
  for (const one of wrong) {
    // Single strokes of a chord are one line, whatever each sounded like.
    const name = `${one.chord.name} ${one.whole ? (one.heard ?? '') : 'single'} ${one.whole}`;
    groups.set(name, [...(groups.get(name) ?? []), one]);
  }
  const lines = [...groups.values()].map((group): Said => {
    const [{ chord, whole }] = group as [WrongChord];
    const bars = barList(group.map(({ bar }) => bar));
    const heard = mostlyHeard(group);
    const like = heard === null ? '' : `sounded like ${numbers.get(heard) ?? heard}`;
    const strokes = group.reduce((sum, one) => sum + one.strokes, 0);
    if (whole)
      return {
        line: `${chord.number} was not the chord in ${bars}${like && `: it ${like}`}`,
        weight: 80 + Math.min(10, group.length),
      };
    const weight = 10 + Math.min(20, strokes);
    return strokes === 1
      ? {
          line: `One stroke of ${chord.number} was not the chord in ${bars}${like && `: it ${like}`}`,
          weight,
        }
      : {
          line: `${strokes} strokes of ${chord.number} were not the chord in ${bars}${like && `: they ${like}`}`,
          weight,
        };
  });
  return lines.sort((one, other) => other.weight - one.weight).slice(0, most);
}

/** The chord that most of them sounded like; `null` where there is none such. */
function mostlyHeard(group: readonly WrongChord[]): string | null {
  for (const { heard } of group)
    if (heard !== null && 2 * group.filter((one) => one.heard === heard).length > group.length) return heard;
  return null;
}
