import { describe, expect, it } from 'vitest';
import { ChopEar } from '../../../src/listen/live/chop-ear.js';
import { firstSession, type Session } from '../../../src/playback/session.js';

const timbre = [-30, -22, -18, -20, -25, -24, -30, -33, -35, -40];
const plays: Session = { ...firstSession, link: { ...firstSession.link, state: 'running' } };

/** How many counts four chops half a second apart are, the first at a time. */
function counted(ear: ChopEar, from: number): number {
  let count = 0;
  for (let index = 0; index < 4; index += 1) {
    const ms = from + 500 * index;
    if (ear.onset({ kind: 'onset', sample: ms, ms, strength: 1, timbre })) count += 1;
    const before = {
      kind: 'stroke',
      sample: ms - 500,
      ms: ms - 500,
      strength: 1,
      stroke: 'chop',
      sure: 1,
      kinds: { low: 0.01, chop: 0.98, up: 0.01 },
    } as const;
    const known = { ...before, ringMs: 90, ringsOn: null, clip: new Float32Array(0), attack: 0 };
    if (index > 0 && ear.stroke(known)) count += 1;
  }
  return count;
}

describe('the ear for chops that begin the music', () => {
  it('hears them while nothing plays', () => {
    const ear = new ChopEar();
    ear.look(firstSession, 0);
    expect(counted(ear, 1000)).toBe(1);
  });

  it('hears none while something plays, nor within a second after it', () => {
    const ear = new ChopEar();
    ear.look(plays, 0);
    expect(counted(ear, 1000)).toBe(0);
    ear.look(firstSession, 4000);
    // The first of them are from within that second: what is left is no count.
    expect(counted(ear, 4200)).toBe(0);
    expect(counted(ear, 9000)).toBe(1);
  });

  it('takes no stroke of the music for the beginning of a count', () => {
    const ear = new ChopEar();
    ear.look(firstSession, 0);
    for (const ms of [1000, 1500]) ear.onset({ kind: 'onset', sample: ms, ms, strength: 1, timbre });
    ear.look(plays, 1600);
    ear.look(firstSession, 1700);
    for (const ms of [2800, 3300])
      expect(ear.onset({ kind: 'onset', sample: ms, ms, strength: 1, timbre })).toBeNull();
  });
});
