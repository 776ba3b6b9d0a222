import { describe, expect, it } from 'vitest';
import { meantFor } from '../../../src/listen/kind.js';
import { HeldChord, type HeldStroke } from '../../../src/listen/live/held-chord.js';
import { PassEar } from '../../../src/listen/live/pass-ear.js';
import { passStrokes } from '../../../src/listen/live/played-strokes.js';
import type { StrokeHeard } from '../../../src/listen/stroke-heard.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { having, onStand, running, standing, viewOf } from '../../ui/model.js';
import { listening } from '../../ui/update/heard-verdicts.js';
import { plucked } from '../strings.js';

const rate = 22_050;
const clock = (at: number): Message => ({ kind: 'clock', at });
const press = (action: Action, at = 0): Message => ({ kind: 'action', action, at });

/** The drill of the chords' order, counted in: its first chord waits. A beat lasts a second, the first is at 4 s. */
function waiting(): Model {
  const listed = having(standing('weir-hands'), press('choose-drill')).model;
  const { overlay } = listed;
  const drill = overlay?.kind === 'drills' ? overlay.drills.find(({ kind }) => kind === 'order') : undefined;
  if (!drill) throw new Error('no order');
  const model = running(having(listed, { kind: 'drill-chosen', drill }).model).model;
  return having(model, clock(10), clock(2010), clock(4010)).model;
}

/** The notes of the chord that the drill has in a bar. */
function notesOf(model: Model, bar: number): readonly number[] {
  const { performance } = viewOf(model);
  return passStrokes(performance, 1).find((one) => one.bar === bar)?.chord.notes ?? [];
}

function chopped(ms: number, notes: readonly number[], changes: Partial<StrokeHeard> = {}): StrokeHeard {
  const clip = plucked([{ at: 110, notes: [...notes], velocity: 95, length: 60 }], rate).subarray(
    0,
    Math.round(0.22 * rate),
  );
  return {
    kind: 'stroke',
    ms,
    sample: Math.round((ms * rate) / 1000),
    strength: 0.5,
    stroke: 'chop',
    sure: 0.98,
    kinds: meantFor('chop'),
    ringMs: 60,
    ringsOn: null,
    clip,
    attack: Math.round(0.11 * rate),
    ...changes,
  };
}

describe('a chord that goes round', () => {
  it('is asked for wherever its strokes fall; another one is told from it', () => {
    const model = waiting();
    const { performance } = viewOf(model);
    const ear = new HeldChord(rate, 'steady');
    ear.look(performance, 4010);
    const first: HeldStroke = { kind: 'held-stroke', bar: 0, stroke: 'chop', isChord: true, isStopped: true };
    expect(ear.stroke(chopped(5333, notesOf(model, 0)), 350)).toEqual([first]);
    expect(ear.stroke(chopped(5700, notesOf(model, 1)), 350)).toEqual([{ ...first, isChord: false }]);
    expect(ear.stroke(chopped(6000, notesOf(model, 0), { ringMs: 420 }), 350)).toEqual([
      { ...first, isStopped: false },
    ]);
    expect(ear.stroke(chopped(6200, notesOf(model, 0), { ringMs: null }), 350)).toEqual([
      { ...first, isStopped: null },
    ]);
  });

  it('is not asked for in strokes that may have sounded before it came, in the count, or where more bars go round', () => {
    const model = waiting();
    const { performance } = viewOf(model);
    const ear = new HeldChord(rate, 'steady');
    ear.look(performance, 4010);
    expect(ear.stroke(chopped(4300, notesOf(model, 0)), 350)).toEqual([]);
    expect(ear.stroke(chopped(4300, notesOf(model, 0)), 20)).toHaveLength(1);
    const { cursor, setup } = performance;
    ear.look({ ...performance, cursor: { ...cursor, counting: true } }, 5000);
    expect(ear.stroke(chopped(6000, notesOf(model, 0)), 0)).toEqual([]);
    ear.look({ ...performance, setup: { ...setup, range: { from: 0, to: 2 } } }, 5000);
    expect(ear.stroke(chopped(6000, notesOf(model, 0)), 0)).toEqual([]);
    ear.look(null, 5000);
    expect(ear.stroke(chopped(6000, notesOf(model, 0)), 0)).toEqual([]);
  });
});

describe('the order of the chords, listened to', () => {
  /** The drill and its ear, without calibration. */
  class Trial {
    model = listening(waiting());
    private readonly ear = new PassEar(rate, { level: 'steady', offset: null });

    constructor() {
      this.look(4010);
    }

    look(at: number): void {
      this.model = having(this.model, clock(at)).model;
      this.ear.look(this.model.session, at);
    }

    /** A chop of a bar's chord that is heard at `at`, and told 200 ms later. */
    chop(at: number, bar: number, changes: Partial<StrokeHeard> = {}): void {
      for (const told of this.ear.stroke(chopped(at, notesOf(this.model, bar), changes)))
        this.model = having(this.model, { kind: 'pass-told', told, at: at + 200 }).model;
      this.look(at + 200);
    }

    get bar(): number | undefined {
      return onStand(this.model)?.cursor.bar;
    }

    /** The bar that is played next round. */
    get next(): number | undefined {
      return onStand(this.model)?.range?.from;
    }
  }

  it('goes on when two chops in a row were the chord and stopped; the key still does', () => {
    const trial = new Trial();
    trial.chop(5500, 0);
    expect(trial.next).toBe(0);
    trial.chop(6500, 0);
    expect(trial.next).toBe(1);
    trial.look(7010);
    expect(trial.bar).toBe(1);
    trial.model = having(trial.model, press('next-chord', 7300)).model;
    trial.look(8010);
    expect(trial.bar).toBe(2);
  });

  it('takes chops for chops that sound like upstrokes', () => {
    const trial = new Trial();
    trial.chop(5500, 0, { stroke: 'up' });
    trial.chop(6500, 0, { stroke: 'up' });
    expect(trial.next).toBe(1);
  });

  it('waits while another chord is played, or the chop rings, and begins to count again', () => {
    const trial = new Trial();
    trial.chop(5500, 0);
    trial.chop(6500, 1);
    trial.chop(7500, 0);
    expect(trial.next).toBe(0);
    trial.chop(8500, 0, { ringMs: 400 });
    trial.chop(9500, 0);
    expect(trial.next).toBe(0);
    // Low notes, upstrokes that ring, and a chop of which it is not known whether it stopped count neither way.
    trial.chop(9800, 0, { stroke: 'low' });
    trial.chop(10_100, 0, { stroke: 'up', ringMs: 400 });
    trial.chop(10_500, 0, { ringMs: null });
    expect(trial.next).toBe(0);
    trial.chop(11_500, 0);
    expect(trial.next).toBe(1);
  });

  it('is not led past a chord by strokes of the one before that are heard late', () => {
    const trial = new Trial();
    trial.chop(5500, 0);
    trial.chop(6500, 0);
    // Until the next beat, and just after it, the hand still has the first chord.
    trial.chop(6800, 0);
    trial.look(7010);
    expect(trial.bar).toBe(1);
    trial.chop(7200, 0);
    trial.chop(7800, 0);
    trial.chop(8600, 0);
    expect([trial.bar, trial.next]).toEqual([1, 1]);
    trial.chop(9500, 1);
    trial.chop(10_500, 1);
    expect(trial.next).toBe(2);
  });
});
