import type { Excerpt, Section } from './chart.js';
import { barLimit, stepLimit } from './limits.js';
import { playThrough, type Step } from './play-through.js';

/**
 * Answers the steps of a section by its name, each worked out once; an unknown or circular one has none
 * (the reader tells those). No section is spelled out further than a pass can be long, and all of them together no further
 * than `stepLimit`: beyond that it stops, and `spent` says so.
 */
export class SectionSteps {
  /** Steps that were spelled out. */
  spent = 0;
  private readonly known = new Map<string, readonly Step[]>();
  private readonly indices: ReadonlyMap<string, number>;
  private readonly found = new Map<readonly Step[], StepIndex>();

  constructor(
    private readonly sections: readonly Section[],
    private readonly final: boolean,
  ) {
    this.indices = new Map(sections.map((section, index) => [section.name, index]));
  }

  steps(name: string): readonly Step[] {
    const found = this.known.get(name);
    if (found) return found;
    // Until it is worked out: a section that is made of itself finds nothing here.
    this.known.set(name, []);
    const index = this.indices.get(name) ?? -1;
    const section = this.sections[index];
    const made = !section
      ? []
      : section.derived
        ? excerptSteps(section.derived, this)
        : playThrough(section, index, this.final);
    this.spent += made.length;
    this.known.set(name, made);
    return made;
  }

  index(steps: readonly Step[]): StepIndex {
    const found = this.found.get(steps);
    const index = found ?? indexSteps(steps);
    if (!found) this.found.set(steps, index);
    return index;
  }
}

function excerptSteps(excerpts: readonly Excerpt[], reader: SectionSteps): readonly Step[] {
  const steps: Step[] = [];
  for (const { of, take } of excerpts) {
    if (steps.length > 2 * barLimit || reader.spent > stepLimit) break;
    const all = reader.steps(of);
    const index = reader.index(all);
    const count = index.bars.length;
    const part =
      take.kind === 'all'
        ? all
        : take.kind === 'bars'
          ? cut(all, index, take.from - 1, take.to)
          : take.kind === 'first'
            ? cut(all, index, 0, take.bars)
            : cut(all, index, count - take.bars, count);
    for (const step of part) steps.push(step);
    // What slows down in a piece does so up to its end.
    if (part.some((step) => step.kind === 'change' && step.change.kind === 'slow'))
      steps.push({ kind: 'in-tempo' });
  }
  return steps;
}

/** Where the bars and the changes among the steps of a section are, so that a piece is found without walking through all of them. */
interface StepIndex {
  readonly bars: readonly number[];
  readonly changes: readonly number[];
}

function indexSteps(steps: readonly Step[]): StepIndex {
  const bars: number[] = [];
  const changes: number[] = [];
  steps.forEach((step, at) => {
    if (step.kind === 'bar') bars.push(at);
    // A stop of the band is over with its bar; all other changes hold on.
    else if (step.kind === 'change' && step.change.kind !== 'wait') changes.push(at);
  });
  return { bars, changes };
}

/** The steps from bar `from` up to but without bar `to`; changes before it are kept, since they hold in it. */
function cut(steps: readonly Step[], { bars, changes }: StepIndex, from: number, to: number): Step[] {
  const behind = (bar: number): number =>
    bar <= 0 ? 0 : bar > bars.length ? steps.length : (bars[bar - 1] as number) + 1;
  const end = behind(to);
  const begin = Math.min(behind(from), end);
  const needed: Step[] = [];
  for (const at of changes) {
    if (at >= begin) break;
    needed.push(steps[at] as Step);
  }
  return [...needed, ...steps.slice(begin, end)];
}
