import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { arrange } from '../../src/time/arrange.js';
import {
  begin,
  type Conducted,
  feed,
  retake,
  retakeAt,
  sentTo,
  type Take,
} from '../../src/time/conductor.js';
import { eventSize, voiceAt, voices } from '../../src/time/event.js';
import type { Segment } from '../../src/time/segment.js';

const bar = 3840;

/** A section of two bars that is played twice by a repeat, with a pick-up `G`, and another with its own, `A`. Their bars have long notes. */
const head = `title: Two Gates
key: C
tempo: 120
form: A, B
sections:
  A: |
    |: 1 [1st 5 ] [2nd 1 ] :|
  B: |
    4 1
tune:
  A: |
`;
const giving = `${head}    G2 |: c8 |1 d6 :|2 e8 |
  B: |
    A2 | f8 | g8 |
`;
const keeping = giving.replace('d6', 'd8');

function takeOf(text: string, more: Partial<Take> = {}): Take {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  const { score } = arrange(read.value, { key: read.value.key, instrument: mandolin, share: 1 });
  return { score, passes: null, share: 1, countIn: 1, ...more };
}

/** The tune as it sounds up to a tick: beats from the start and letters, of segments that may be in place of others, or go round. */
function tune(all: readonly Segment[], to: number): string {
  const notes: [number, string][] = [];
  for (const { startTick, skip, length, onEnd, events } of all)
    for (let round = 0; round < (onEnd === 'repeat' ? 40 : 1); round += 1)
      for (let index = 0; index < events.length; index += eventSize) {
        const status = events[index + 2] as number;
        if (voices[voiceAt(events, index)] !== 'lead') continue;
        const at = startTick + round * length - skip + (events[index] as number);
        const letter = 'C.D.EF.G.A.B'[((status >> 8) & 127) % 12] as string;
        const plays =
          (events[index] as number) < skip + length && (skip === 0 || (events[index] as number) >= skip);
        if (plays && at < to) notes.push([at / 960, letter]);
      }
  return notes
    .sort(([one], [other]) => one - other)
    .map(([at, letter]) => `${at}${letter}`)
    .join(' ');
}

/** All that a take sends up to a tick, from the first bar of the music at tick `bar`. */
function played(take: Take, to: number, from = 0): string {
  let { conductor, segments }: Conducted = begin(take, from, 0);
  const all = [...segments];
  for (let tick = 0; tick < to; tick += bar) {
    ({ conductor, segments } = feed(conductor, tick));
    all.push(...segments);
  }
  return tune(all, to);
}

describe('pick-ups in what is sent', () => {
  it('sound over the count, and across a repeat whose last bar leaves room', () => {
    expect(played(takeOf(giving, { passes: 1 }), 8 * bar)).toBe('3G 4C 8D 11G 12C 16E 19A 20F 24G');
    expect(played(takeOf(keeping, { passes: 1 }), 8 * bar)).toBe('3G 4C 8D 12C 16E 19A 20F 24G');
  });

  it('lead from the end of a pass to its beginning', () => {
    const twice = played(takeOf(giving, { passes: 2 }), 9 * bar);
    expect(twice).toBe('3G 4C 8D 11G 12C 16E 19A 20F 24G 27G 28C 32D 35G');
  });

  it('go round with a loop of whole sections, and of other bars too', () => {
    // Bars 5 and 6 alone: the last is of the same section, and nothing begins in its last beat.
    expect(played(takeOf(giving, { range: { from: 4, to: 6 } }), 7 * bar, 4)).toBe(
      '3A 4F 8G 11A 12F 16G 19A 20F 24G 27A',
    );
    // From the fourth bar, which has no pick-up, to the fifth, whose own comes each time.
    expect(played(takeOf(giving, { range: { from: 3, to: 5 } }), 6 * bar, 3)).toBe(
      '4E 7A 8F 12E 15A 16F 20E 23A',
    );
  });

  it('lead to where the music jumps, and not to what would have come', () => {
    const take = takeOf(giving);
    const tick = 3 * bar;
    const first = begin({ ...take, leaves: 1, leavesFor: { tick, bar: 4 } }, 0, 0);
    const ready = sentTo(first.conductor, tick);
    const jumped = retakeAt(ready.conductor, take, tick, { pass: 1, bar: 4, into: 0 });
    const before = [...first.segments, ...ready.segments].filter(({ startTick }) => startTick < tick);
    expect(tune([...before.map((one) => shortened(one, tick)), ...jumped.segments], 5 * bar)).toBe(
      '3G 4C 8D 11A 12F 16G',
    );
  });

  it('do not come where the music goes elsewhere at once', () => {
    const first = begin(takeOf(giving), 0, 0);
    const { segments } = retake(first.conductor, takeOf(giving), 2 * bar - 960, 4);
    expect(tune(segments, 4 * bar)).toMatch(/^7F 11G /);
  });
});

/** A segment up to a tick, from which on another is played. */
function shortened(segment: Segment, tick: number): Segment {
  return { ...segment, length: Math.min(segment.length, tick - segment.startTick), onEnd: 'next' };
}
