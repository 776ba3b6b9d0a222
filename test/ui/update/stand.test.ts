import { describe, expect, it } from 'vitest';
import { mandolin } from '../../../src/hand/instrument.js';
import { withSetup } from '../../../src/playback/session.js';
import { isReady } from '../../../src/playback/transport.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import { demoChart, having, keyOf, onStand, running, standing, usualStart } from '../model.js';

const barMs = 4000;

describe('the last pass', () => {
  it('is the one that is played, when that is asked for in flight; asked again, there is none', () => {
    const playing = running(standing('weir-hands')).model;
    const later = having(playing, { kind: 'clock', at: 3.5 * barMs + 10 }).model;
    const ending = having(later, { kind: 'action', action: 'last-pass', at: 3.5 * barMs });
    expect(onStand(ending.model)?.passes).toBe(1);
    const replaced = ending.effects.find((effect) => effect.kind === 'replace');
    expect(replaced?.kind === 'replace' && replaced.segments.at(-1)?.onEnd).toBe('stop');
    const again = having(ending.model, { kind: 'action', action: 'last-pass', at: 3.6 * barMs });
    expect(onStand(again.model)?.passes).toBeNull();
    const endless = again.effects.find((effect) => effect.kind === 'replace');
    expect(endless?.kind === 'replace' && endless.segments.at(-1)?.onEnd).not.toBe('stop');
  });
});

describe('the click in flight', () => {
  it('changes at the next instant that can be reached, without a jump', () => {
    const playing = running(standing('weir-hands')).model;
    const later = having(playing, { kind: 'clock', at: 2.5 * barMs }).model;
    const chosen = having(later, {
      kind: 'click-chosen',
      click: { kind: 'off', accents: true, gaps: null },
      at: 2.5 * barMs,
    });
    expect(chosen.model.overlay).toBeNull();
    const replaced = chosen.effects.find((effect) => effect.kind === 'replace');
    if (replaced?.kind !== 'replace') throw new Error('nothing was replaced');
    const [first] = replaced.segments;
    expect(first?.startTick).toBe(replaced.tick);
    expect(first?.jump).toBe(false);
    // No message of the click, which is on channel 10.
    const statuses = [...(first?.events ?? [])]
      .filter((_, index) => index % 4 === 2)
      .map((one) => one & 0xff);
    expect(statuses.length).toBeGreaterThan(0);
    expect(statuses).not.toContain(0x99);
  });
});

describe('the voices', () => {
  const levels = (
    model: Parameters<typeof having>[0],
    ...actions: ('voice-on' | 'voice-toggle' | 'voice-alone' | 'voice-softer' | 'voice-louder')[]
  ) => {
    const done = having(
      { ...model, overlay: { kind: 'voices', chosen: 0 } },
      ...actions.map((action) => ({ kind: 'action' as const, action, at: 0 })),
    );
    const sent = done.effects.filter((effect) => effect.kind === 'levels').at(-1);
    return sent?.kind === 'levels' ? sent.levels : null;
  };

  it('are the click and the bass, unless the player’s own part is wanted too', () => {
    const model = standing('weir-hands');
    expect(levels(model, 'voice-on', 'voice-on', 'voice-toggle')).toEqual([100, 100, 100, 0, 100]);
    expect(levels(model, 'voice-toggle')).toEqual([0, 100, 0, 0, 100]);
  });

  it('can be heard alone, softer and louder, at once', () => {
    const model = standing('weir-hands');
    expect(levels(model, 'voice-on', 'voice-alone')).toEqual([0, 100, 0, 0, 0]);
    expect(levels(model, 'voice-on', 'voice-alone', 'voice-alone')).toEqual([100, 100, 0, 0, 100]);
    expect(levels(model, 'voice-softer', 'voice-softer')).toEqual([80, 100, 0, 0, 100]);
    expect(levels(model, ...(Array(9).fill('voice-louder') as 'voice-louder'[]))).toEqual([
      150, 100, 0, 0, 100,
    ]);
  });

  describe('the tune among them', () => {
    const press = (model: Model, ...actions: Action[]) =>
      having(model, ...actions.map((action) => ({ kind: 'action' as const, action, at: 0 })));
    const atTune = (model: Model): Model => ({ ...model, overlay: { kind: 'voices', chosen: 4 } });
    /** Its level in the built-in sound and on gear, and where it is heard. */
    const heard = ({ session }: Model): unknown => [
      session.levels?.[4],
      session.gear?.[4],
      session.performance?.setup.melody ?? 'sound',
    ];
    const off = press(atTune(standing('weir-hands')), 'voice-toggle').model;

    it('is heard through the built-in sound only, until where it is heard is chosen', () => {
      const model = atTune(standing('weir-hands'));
      const seen = [model];
      for (let count = 0; count < 3; count += 1) seen.push(press(seen.at(-1) as Model, 'voice-melody').model);
      expect(seen.map(heard)).toEqual([
        [100, 0, 'sound'],
        [100, 100, 'others'],
        [100, 100, 'all'],
        [100, 0, 'sound'],
      ]);
    });

    it('is turned off; turned on again it is heard everywhere', () => {
      expect(heard(off)).toEqual([0, 0, 'sound']);
      expect(heard(press(off, 'voice-toggle').model)).toEqual([100, 100, 'others']);
      expect(heard(press(off, 'voice-melody').model)).toEqual([100, 100, 'others']);
      const all = press(atTune(standing('weir-hands')), 'voice-melody', 'voice-melody').model;
      expect(heard(press(all, 'voice-toggle', 'voice-toggle').model)).toEqual([100, 100, 'all']);
    });

    it('is heard on gear too where it alone is wanted; its level is its own', () => {
      const model = atTune(standing('weir-hands'));
      expect(heard(press(model, 'voice-alone').model)).toEqual([100, 100, 'sound']);
      expect(heard(press(model, 'voice-softer', 'voice-softer').model)).toEqual([80, 0, 'sound']);
    });

    it('is kept as it was chosen', () => {
      const { effects } = press(atTune(standing('weir-hands')), 'voice-melody');
      const kept = effects.flatMap((effect) => (effect.kind === 'keep' ? [effect.choices.melody] : []));
      expect(kept).toEqual(['others']);
    });
  });
});

describe('an external clock', () => {
  it('arms the music at its place, and says when it has gone', () => {
    const listened = having(standing('weir-hands'), {
      kind: 'player',
      at: 0,
      message: { kind: 'listening', label: 'MIDI Lantern', reason: null },
    });
    expect(listened.effects.at(-1)).toEqual({ kind: 'tell', message: { kind: 'arm', tick: 0, song: 0 } });
    expect(listened.model.notice).toContain('MIDI Lantern');
    const moved = having(listened.model, {
      kind: 'player',
      at: 0,
      message: { kind: 'place', song: 2 * 3840 },
    });
    expect(moved.effects.at(-1)).toEqual({ kind: 'tell', message: { kind: 'arm', tick: 0, song: 7680 } });
    expect(onStand(moved.model)?.cursor.bar).toBe(2);
    const pressed = having(moved.model, { kind: 'action', action: 'play', at: 0 });
    expect(pressed.effects).toEqual([]);
    expect(pressed.model.notice).toBe('the external clock starts and stops the music');
    const lost = having(moved.model, {
      kind: 'player',
      at: 0,
      message: { kind: 'following', state: 'holdover' },
    });
    expect(lost.model.notice).toContain('has gone');
  });
});

describe('a new key', () => {
  it('says whether the family stays', () => {
    const notice = (key: string) =>
      having(standing('weir-hands'), { kind: 'key-chosen', key: keyOf(key) }).model.notice;
    expect(notice('A')).toBe('key A: the four-finger family stays, 2 frets toward the nut');
    expect(notice('D')).toBe('key D: from the four-finger to the three-finger family');
    expect(having(standing('weir-hands')).model.notice).toBe('');
  });
});

describe('play', () => {
  it('sends the count-in and the music, and starts the clock at a free tick', () => {
    const { effects } = having(standing('weir-hands'), { kind: 'action', action: 'play', at: 0 });
    expect(effects.map((effect) => effect.kind)).toEqual(['tell', 'replace', 'tell', 'keep']);
    expect(effects[3]).toEqual({ kind: 'keep', file: 'weir-hands.yaml', choices: {}, played: true });
    expect(effects[2]).toEqual({ kind: 'tell', message: { kind: 'play', tick: 0 } });
    // The programs go before everything: the gear must have them when the count begins.
    expect(effects[0]).toMatchObject({ kind: 'tell', message: { kind: 'send' } });
    expect(effects[1]).toMatchObject({
      tick: 0,
      segments: [{ startTick: 0, length: 3840 }, { startTick: 3840 }],
    });
  });

  it('pressed before all is ready begins as soon as it is', () => {
    const chart = demoChart('weir-hands');
    const start = {
      key: chart.key,
      bpm: 200,
      countIn: 0,
      passes: null,
      range: null,
      from: 0,
      instrument: mandolin,
      plan: {},
      ...usualStart,
    };
    const early = having(
      firstModel({ colour: false, unicode: true }, 80, 24),
      { kind: 'chart-opened', file: 'x', chart, start, source: '' },
      { kind: 'action', action: 'play', at: 0 },
    );
    expect(isReady(early.model.session)).toBe(false);
    expect(early.effects.some((effect) => effect.kind === 'tell')).toBe(false);
    const opened = having(early.model, {
      kind: 'player',
      at: 0,
      message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [] },
    });
    expect(opened.effects).toContainEqual({ kind: 'tell', message: { kind: 'play', tick: 0 } });
  });

  it('pauses, and goes on at the bar it stood in, after everything that was played', () => {
    const playing = running(standing('weir-hands')).model;
    const later = having(playing, { kind: 'clock', at: 3.5 * barMs + 10 }).model;
    expect(onStand(later)?.cursor).toMatchObject({ bar: 2, beat: 2, counting: false });
    const asked = having(later, { kind: 'action', action: 'play', at: 3.5 * barMs });
    expect(asked.effects).toEqual([{ kind: 'tell', message: { kind: 'pause' } }]);
    const paused = having(asked.model, {
      kind: 'player',
      at: 0,
      message: { kind: 'state', state: 'paused', tick: 13440.5 },
    }).model;
    expect(onStand(paused)?.cursor).toMatchObject({ bar: 2, beat: null });
    const again = having(paused, { kind: 'action', action: 'play', at: 0 });
    expect(again.effects[2]).toEqual({ kind: 'tell', message: { kind: 'play', tick: 13442 } });
  });
});

describe('while the music runs', () => {
  const playing = running(standing('weir-hands')).model;

  it('the cursor counts in, then follows', () => {
    expect(onStand(having(playing, { kind: 'clock', at: 2500 }).model)?.cursor).toMatchObject({
      bar: 0,
      beat: 2,
      pass: 1,
      counting: true,
    });
    expect(onStand(having(playing, { kind: 'clock', at: barMs + 100 }).model)?.cursor).toMatchObject({
      bar: 0,
      beat: 0,
      pass: 1,
      counting: false,
    });
  });

  it('a new key goes on at the same place with other notes', () => {
    const at = 2 * barMs + 1500;
    const changed = having(
      playing,
      { kind: 'clock', at },
      { kind: 'key-chosen', key: keyOf('C') },
      { kind: 'clock', at: at + 100 },
    );
    const replaced = changed.effects.filter((effect) => effect.kind === 'replace');
    expect(replaced).toHaveLength(1);
    expect(replaced[0]?.segments[0]?.skip).toBeGreaterThan(0);
    expect(onStand(changed.model)?.cursor).toMatchObject({ bar: 1, beat: 1 });
    expect(onStand(changed.model)?.arrangement?.key).toEqual({ tonic: 'C', mode: 'major' });
  });

  it('a jump goes to the bar, and the tempo stays within its limits', () => {
    const jumped = having(
      playing,
      { kind: 'clock', at: 2 * barMs },
      { kind: 'action', action: 'section-on', at: 2 * barMs },
    );
    expect(onStand(jumped.model)?.cursor.bar).toBe(4);
    const fast = having(
      { ...playing, session: withSetup(playing.session, { bpm: 400 }) },
      { kind: 'action', action: 'faster', at: 0 },
    );
    expect(onStand(fast.model)?.bpm).toBe(400);
    expect(fast.model.notice).toContain('from 20 to 400');
  });

  it('a dead player stops the music where it is and says so', () => {
    const died = having(
      playing,
      { kind: 'clock', at: 3 * barMs + 10 },
      { kind: 'player', at: 0, message: { kind: 'died', reason: 'SIGKILL' } },
    ).model;
    expect(died.session.link.state).toBe('stopped');
    expect(onStand(died)?.cursor).toMatchObject({ bar: 2, beat: null });
    expect(died.notice).toContain('the player process has stopped (SIGKILL)');
  });
});
