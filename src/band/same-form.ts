import { type Conductor, type Stretch, stretches, type Take } from '../time/conductor.js';
import { ticksPerQuarter } from '../time/units.js';

/** How far ahead forms are compared: half of what is sent ahead, so that both have sent so much. */
const lookTicks = 32 * ticksPerQuarter;

/** Bars as they are played, whatever pieces they are sent in. */
function barsOf(conductor: Conductor, from: number): readonly Stretch[] {
  const bars: Stretch[] = [];
  for (const one of stretches(conductor, from, from + lookTicks)) {
    const last = bars.at(-1);
    const same =
      last?.phase === one.phase && last.pass === one.pass && last.bar === one.bar && last.start === one.start;
    const to = Math.min(one.to, from + lookTicks);
    if (same) bars[bars.length - 1] = { ...last, to };
    else bars.push({ ...one, to });
  }
  return bars;
}

/** Whether two conductors play the same bars of the same passes at the same ticks from a tick on, as far as can be seen from there. */
export function sameForm(one: Conductor, other: Conductor, from: number): boolean {
  const [here, there] = [barsOf(one, from), barsOf(other, from)];
  return (
    here.length === there.length &&
    here.every((bar, index) =>
      (['phase', 'pass', 'bar', 'from', 'to', 'start'] as const).every(
        (name) => bar[name] === there[index]?.[name],
      ),
    )
  );
}

/** Whether two takes go the same way beyond what is sent: as often, through the same bars, at tempos that rise alike. */
export function sameCourse(one: Take, other: Take): boolean {
  const course = ({ passes, range, ramp, holds }: Take): string =>
    JSON.stringify([
      passes,
      range ? [range.from, range.to] : null,
      ramp ? [ramp.to, ramp.bars] : null,
      holds ?? false,
    ]);
  return course(one) === course(other);
}
