import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin, retake } from '../../src/time/conductor.js';
import { tickAt, timeAt } from '../../src/time/segment.js';
import { anyTake, goOn, take } from '../time/takes.js';
import { between, differences, timeline, under } from './music.js';

const bar = 3840;
const moment = between(0, 20_000);

describe('replace', () => {
  it('leaves no note hanging, whatever tick and moment', () => {
    fc.assert(
      fc.property(anyTake, anyTake, moment, fc.nat({ max: 6000 }), (made, other, ms, ahead) => {
        const { rig } = under(made, ms);
        fc.pre(rig.states.at(-1) === 'running');
        const tick = Math.ceil(tickAt(rig.spans, rig.host.now())) + ahead;
        rig.loop.replace(tick, goOn(begin({ ...other, passes: 1 }, 0, tick), tick + 80_000).segments);
        rig.host.advance(rig.host.now() + 400_000);
        expect(rig.states.at(-1)).toBe('stopped');
        expect(rig.output.hanging()).toStrictEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it('plays the old up to the tick and the new from there, nothing lost or doubled', () => {
    fc.assert(
      fc.property(moment, fc.nat({ max: bar }), (ms, ahead) => {
        const { rig, first } = under(take('1 4 5 1 1 4 5 1', { passes: null }), ms);
        const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + 25)) + ahead;
        const old = timeline(begin(take('1 4 5 1 1 4 5 1', { passes: null }), 0, 0).segments, first, tick);
        const { segments } = begin(take('5 (1 4)', {}, { tempo: 90 }), 0, tick);
        rig.loop.replace(tick, segments);
        const at = timeAt(rig.spans, tick);
        rig.host.advance(at + 30_000);
        expect(differences(rig.output.ons, [...old, ...timeline(segments, at)])).toStrictEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it('keeps what is queued before its tick, however far ahead that is', () => {
    const { rig, first } = under(take('1', { passes: 8 }), 500);
    const queued = begin(take('1', { passes: 8 }), 0, 0).segments;
    const tick = 5 * bar + 100;
    const { segments } = begin(take('4 5', { countIn: 0 }), 0, tick);
    rig.loop.replace(tick, segments);
    rig.host.advance(first + 60_000);
    const due = [...timeline(queued, first, tick), ...timeline(segments, first + (tick * 500) / 960)];
    expect(differences(rig.output.ons, due)).toStrictEqual([]);
  });

  it('changes the tempo without a jump: every note where it was in ticks', () => {
    const change = fc.record({
      ms: between(0, 6000),
      share: fc.constantFrom(0.5, 0.8, 1),
    });
    const passages = fc.constantFrom('1 4 5 1', "'1 4 (1 5)", '1 @3/4 4 (1.. 5.)');
    const changes = fc.array(change, { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(passages, changes, fc.constantFrom(0, 150), (written, list, lead) => {
        const made = take(written, { passes: null }, { crooked: 'yes' });
        let { rig, conductor } = under(made, 0, lead);
        for (const { ms, share } of list) {
          rig.host.advance(rig.host.now() + ms);
          const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + lead + 25));
          const before = timeAt(rig.spans, tick);
          const taken = retake(goOn({ conductor, segments: [] }, tick).conductor, { ...made, share }, tick);
          conductor = taken.conductor;
          rig.loop.replace(tick, taken.segments);
          expect(timeAt(rig.spans, tick)).toBeCloseTo(before, 6);
          expect(tickAt(rig.spans, before - 1e-3)).toBeCloseTo(tick, 1);
        }
        rig.host.advance(rig.host.now() + 5000);
        const seen = rig.ticks.filter((_, index) => (rig.output.sent[index]?.status ?? 0) >= 0x90);
        const until = (seen.at(-1) as number) + 1;
        const due = timeline(begin(made, 0, 0).segments, 0, until).map(({ tick }) => tick);
        expect(seen.map(Math.round)).toStrictEqual(due);
      }),
      { numRuns: 60 },
    );
  });

  it('loses no early chord when the tempo changes just before it', () => {
    const made = take("'1 4", { passes: null, countIn: 0 });
    const { rig, conductor, first } = under(made, 0);
    const early = 2 * bar - 480;
    // Ten milliseconds before the early chord, in force fifteen after it: between it and the pass it belongs to.
    rig.host.advance(first + (early * 500) / 960 - 10);
    const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + 25));
    rig.loop.replace(tick, retake(conductor, { ...made, share: 0.9 }, tick).segments);
    rig.host.advance(rig.host.now() + 2000);
    // A push is a chop, on the chops' channel.
    const seen = rig.ticks.filter((_, index) => (rig.output.sent[index]?.status ?? 0) === 0x91);
    expect(seen.map(Math.round)).toContain(early);
  });

  it('does not take for late what a jump leaves behind it', () => {
    const made = take("1 4 '5 1", { passes: null, countIn: 0 });
    const { rig, conductor } = under(made, 1230);
    const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + 25));
    // Bar 3 begins with a chord that comes early: its place is over before the jump can be made.
    rig.loop.replace(tick, retake(conductor, made, tick, 2).segments);
    rig.host.advance(rig.host.now() + 3000);
    expect(rig.loop.lateness.report()).toMatchObject({ missed: 0, max: 0 });
  });
});
