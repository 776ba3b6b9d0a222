import type { FormEntry, FormWay, PlayedBar, WayMark } from './chart.js';
import type { Context } from './context.js';
import type { Fault } from './fault.js';

/** What a form word plays: the bars, and what holds after them; `null` where it is what held before. */
export interface OnceMore {
  readonly bars: readonly PlayedBar[];
  readonly context: Context | null;
  readonly fault: Fault | null;
}

/**
 * What the sections of a pass have played so far, for the form words that play it once more. Of a repeat, and of a
 * section that the form has several times in a row, only the last time counts, and what another form word has played does not. Each bar is as it was then: key, meter,
 * tempo, feel, and who led. Only places in the pass are kept, so that a form word costs what it plays.
 */
export class WayBack {
  private readonly kept: number[] = [];
  /** Where among them the sign stands that was passed last. */
  private sign = -1;

  constructor(private readonly bars: readonly PlayedBar[]) {}

  /** The bar at this place of the pass is one that is played once more. */
  played(at: number, marks: readonly WayMark[] | undefined): void {
    if (marks?.includes('sign')) this.sign = this.kept.length;
    this.kept.push(at);
  }

  /** Whether the bar that leads to the coda was played, but only before the sign was passed the last time. */
  private leadsBefore({ from }: FormWay): boolean {
    if (from !== 'sign') return false;
    return this.kept.slice(0, this.sign).some((at) => this.bars[at]?.marks?.includes('to-coda'));
  }

  /** The bars of a form word. */
  once(way: FormWay, entry: FormEntry, entryIndex: number): OnceMore {
    if (way.from === 'sign' && this.sign < 0)
      return refused(
        entry,
        'no bar played so far has a sign to go back to; write @sign before a bar, in a section that comes earlier in the form',
      );
    const end = way.to === 'coda' ? 'to-coda' : way.to;
    const bars: PlayedBar[] = [];
    for (let at = way.from === 'sign' ? this.sign : 0; at < this.kept.length; at += 1) {
      const bar = this.bars[this.kept[at] as number] as PlayedBar;
      const again = onceMore(bar, entry, entryIndex);
      bars.push(bars.length === 0 ? { ...again, way } : again);
      if (end !== null && bar.marks?.includes(end)) return { bars, context: contextOf(bar), fault: null };
    }
    if (end === null) return { bars, context: null, fault: null };
    const from = way.from === 'sign' ? 'the sign' : 'the top';
    return refused(
      entry,
      end === 'fine'
        ? `no bar from ${from} on is marked as the end; write @fine after the last bar of the song`
        : this.leadsBefore(way)
          ? `the jump goes to the place where the sign was last played, and no bar with @to-coda follows it there; before this jump, put the section with @to-coda after the section with the sign`
          : `no bar from ${from} on leads to the coda; write @to-coda after the last bar before the jump`,
    );
  }
}

/**
 * A bar played once more, with all that it had: what the form word says of who leads and how it is played goes before what
 * held then.
 */
function onceMore(bar: PlayedBar, { who, pattern, level }: FormEntry, entry: number): PlayedBar {
  return {
    ...bar,
    entry,
    round: 0,
    who: who ?? bar.who,
    pattern: pattern ?? bar.pattern,
    level: level ?? bar.level,
    again: bar.entry,
  };
}

function contextOf({ key, meter, tempo, feel }: PlayedBar): Context {
  return { key, meter, tempo, feel };
}

function refused({ place }: FormEntry, message: string): OnceMore {
  return { bars: [], context: null, fault: { ...place, severity: 'error', message } };
}
