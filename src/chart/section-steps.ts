import type { Excerpt, Section } from './chart.js';
import { barLimit, stepLimit } from './limits.js';
import { markPhrases, takenUp } from './mark-phrases.js';
import { playLines, playThrough, type Step } from './play-through.js';

/**
 * Answers the steps of a section by its name, each worked out once; an unknown or circular one has none
 * (the reader reports those). No section is spelled out further than a pass can be long, and all of them together no further
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
    readonly final: boolean,
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
        ? excerptSteps(section.derived, index, this)
        : markPhrases(playThrough(section, index, this.final), section);
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

/** The steps of a section that is made of pieces. Marks stay where they are written: what is taken comes without them. */
function excerptSteps(
  excerpts: readonly Excerpt[],
  sectionIndex: number,
  reader: SectionSteps,
): readonly Step[] {
  const steps: Step[] = [];
  for (const [piece, { of, take }] of excerpts.entries()) {
    if (steps.length > 2 * barLimit || reader.spent > stepLimit) break;
    if (take.kind === 'own') {
      for (const step of playLines([take.items], sectionIndex, piece, reader.final)) steps.push(step);
      continue;
    }
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
    for (const step of part) steps.push(asTaken(step, take.kind === 'all'));
    // A ritardando in a piece ends with the piece.
    if (part.some((step) => step.kind === 'change' && step.change.kind === 'slow'))
      steps.push({ kind: 'in-tempo' });
  }
  return steps;
}

/** A step as a piece has it. If only a part of a section is taken, every bar counts, even one from a time through a repeat before the last. */
function asTaken(step: Step, whole: boolean): Step {
  if (step.kind !== 'bar' || (!step.marks && (whole || !step.earlier))) return step;
  const { marks, earlier, ...taken } = step;
  return whole && earlier ? { ...taken, earlier } : taken;
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
    // A stop of the band is over with its bar; all other changes go on.
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
  return [...needed, ...takenUp(steps.slice(begin, end))];
}
