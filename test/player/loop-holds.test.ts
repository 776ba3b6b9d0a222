import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin, type Conducted, feed, heldSegment, retake, type Take } from '../../src/time/conductor.js';
import { tickAt } from '../../src/time/segment.js';
import { take } from '../time/takes.js';
import { between, Rig } from './music.js';

const written = fc.constantFrom(
  '1 1_ 5',
  '1 @wait 4 5_',
  '(5_ 1 4_ 1) 1',
  '1_ 1_ 1_',
  '1 @rit=60% 4_ @wait 5',
);
const clicks = (rig: Rig): number[] =>
  rig.output.ons.filter(({ status }) => status === 0x99).map(({ time }) => time);

/** A take under way for some time, all of it sent: ticks stand still where it waits. */
function under(made: Take, ms: number, lead = 0) {
  const rig = new Rig(lead);
  const { conductor, segments } = begin(made, 0, 0);
  rig.play(segments);
  const first = rig.host.now() + 30 + lead;
  rig.host.advance(first + ms);
  return { rig, conductor, first };
}

/** Releases what waits, as the parent does: by the segment that its conductor knows. */
function release(rig: Rig, conductor: Conducted['conductor']): boolean {
  const id = heldSegment(conductor, tickAt(rig.spans, rig.host.now()));
  if (id !== null) rig.loop.release(id);
  return id !== null;
}

describe('time that stands still', () => {
  it.each([0, 100])('goes on as soon as an output with a lead of %i ms can have what comes', (lead) => {
    const { rig, conductor } = under(take('1_ 5', { holds: true }), 30_000, lead);
    const before = clicks(rig).length;
    const at = rig.host.now();
    expect(release(rig, conductor)).toBe(true);
    rig.host.advance(at + 1500);
    expect((clicks(rig)[before] ?? 0) - at).toBeCloseTo(lead, 3);
    expect((clicks(rig)[before + 1] ?? 0) - (clicks(rig)[before] ?? 0)).toBeCloseTo(500, 6);
  });

  it('ends what it held when it ends, and then the music where nothing follows', () => {
    const { rig, conductor, first } = under(take('1 5_', { holds: true }), 30_000);
    expect(rig.states.at(-1)).toBe('running');
    expect(rig.output.hanging().length).toBeGreaterThan(0);
    release(rig, conductor);
    rig.host.advance(rig.host.now() + 50);
    expect(rig.states.at(-1)).toBe('stopped');
    expect(rig.output.hanging()).toStrictEqual([]);
    expect(rig.host.now() - first).toBeGreaterThan(29_000);
  });

  it('is nothing to a segment that plays, or that was released before', () => {
    const { rig, conductor } = under(take('1_ 5_ 1', { holds: true }), 30_000);
    const id = heldSegment(conductor, tickAt(rig.spans, rig.host.now())) ?? -1;
    rig.loop.release(id - 1);
    rig.host.advance(rig.host.now() + 1000);
    expect(clicks(rig)).toHaveLength(5);
    rig.loop.release(id);
    rig.loop.release(id);
    rig.host.advance(rig.host.now() + 10_000);
    // The second chord is struck, and held in turn.
    expect(clicks(rig)).toHaveLength(6);
  });

  it.each([0, 150])(
    'ends where it ends, though another tempo could only begin behind it, with a lead of %i ms',
    (lead) => {
      const made = take('1 5', { holds: true });
      // A bar of count-in and two bars at 120, four beats of 500 ms each.
      const { rig, conductor } = under(made, 6000 - 20, lead);
      const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + lead + 25));
      rig.loop.replace(tick, retake(feed(conductor, tick).conductor, { ...made, share: 0.7 }, tick).segments);
      rig.host.advance(rig.host.now() + 3000);
      expect(rig.states.at(-1)).toBe('stopped');
      expect(clicks(rig)).toHaveLength(12);
      expect(rig.output.hanging()).toStrictEqual([]);
    },
  );

  it('whatever is changed and released, and when: all of it is played to the end, and nothing hangs', () => {
    const action = fc.record({
      ms: between(0, 4000),
      what: fc.constantFrom('release', 'release', 'release', 'slower', 'pause'),
    });
    fc.assert(
      fc.property(
        written,
        fc.array(action, { maxLength: 12 }),
        fc.constantFrom(0, 150),
        (bars, actions, lead) => {
          const made = take(bars, { holds: true, passes: 2 }, { crooked: 'yes' });
          let { rig, conductor } = under(made, 0, lead);
          for (const { ms, what } of actions) {
            rig.host.advance(rig.host.now() + ms);
            if (rig.states.at(-1) !== 'running') break;
            if (what === 'release') release(rig, conductor);
            else if (what === 'pause') rig.loop.pause();
            else {
              const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + lead + 25));
              const taken = retake(
                feed(conductor, Math.max(0, tick)).conductor,
                { ...made, share: 0.7 },
                tick,
              );
              conductor = taken.conductor;
              rig.loop.replace(tick, taken.segments);
            }
          }
          // In the end each hold is released within some seconds: the music comes to its end.
          for (let round = 0; round < 60 && rig.states.at(-1) === 'running'; round += 1) {
            const fed = feed(conductor, Math.max(0, tickAt(rig.spans, rig.host.now())));
            conductor = fed.conductor;
            rig.loop.append(fed.segments);
            release(rig, conductor);
            rig.host.advance(rig.host.now() + 2000);
          }
          expect(rig.states.at(-1)).not.toBe('running');
          expect(rig.output.hanging()).toStrictEqual([]);
        },
      ),
      { numRuns: 150 },
    );
  });
});
