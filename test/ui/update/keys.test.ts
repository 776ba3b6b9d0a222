import { describe, expect, it } from 'vitest';
import { readChart } from '../../../src/chart/read.js';
import { withSetup } from '../../../src/playback/session.js';
import { keyName } from '../../../src/theory/key.js';
import { voices } from '../../../src/time/event.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { actionFor } from '../../../src/ui/keys/bindings.js';
import type { Effect, Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { playedOn } from '../../../src/ui/update/rest.js';
import { having, lineOf, onStand, running, standing, viewOf } from '../model.js';

const press = (action: Action, at = 0): Message => ({ kind: 'action', action, at });
const type = (text: string): Message[] => [...text].map((one) => ({ kind: 'typed', text: one }));

function pressed(model: Model, ...actions: Action[]): Model {
  return having(model, ...actions.map((action) => press(action))).model;
}

function kept(effects: readonly Effect[]): object[] {
  return effects.flatMap((effect) => (effect.kind === 'keep' ? [effect.choices] : []));
}

describe('loop marks', () => {
  it('loop from a bar to a bar', () => {
    const from = pressed(standing('weir-hands'), 'section-on', 'loop-from');
    expect(onStand(from)?.range).toEqual({ from: 4, to: 60 });
    const both = pressed(from, 'bar-on', 'bar-on', 'loop-to');
    expect(onStand(both)?.range).toEqual({ from: 4, to: 7 });
    expect(both.notice).toBe('loop: bars 5 to 7; x removes it');
    expect(onStand(pressed(both, 'loop-off'))?.range).toBeNull();
  });

  it('an end without a beginning loops its section up to there', () => {
    expect(onStand(pressed(standing('weir-hands'), 'section-on', 'bar-on', 'loop-to'))?.range).toEqual({
      from: 4,
      to: 6,
    });
  });

  it('set while playing keeps the music going at its place, then loops', () => {
    const playing = running(standing('weir-hands')).model;
    const at = 4000 + 5 * 4000 + 100;
    const there = having(playing, { kind: 'clock', at });
    const looped = having(there.model, press('loop-from', at), press('loop-to', at));
    expect(onStand(looped.model)?.range).toEqual({ from: 5, to: 6 });
    expect(looped.effects.filter((effect) => effect.kind === 'replace')).toHaveLength(2);
    const later = having(looped.model, { kind: 'clock', at: at + 4000 }, { kind: 'clock', at: at + 8000 });
    expect(onStand(later.model)?.cursor).toMatchObject({ bar: 5, pass: 3 });
  });
});

describe('tempo', () => {
  it('goes in steps of ten percent of the chart’s own', () => {
    const slow = pressed(standing('weir-hands'), 'share-down');
    expect(onStand(slow)?.bpm).toBe(227);
    expect(slow.notice).toBe('90 % of the chart’s tempo');
    expect(onStand(pressed(slow, 'share-down'))?.bpm).toBe(202);
    expect(onStand(pressed(slow, 'share-up'))?.bpm).toBe(252);
    expect(onStand(pressed(slow, 'faster', 'share-up'))?.bpm).toBe(252);
    expect(onStand(pressed(slow, 'share-up', 'share-up'))?.bpm).toBe(277);
  });

  it.each([
    ['share-50', 126, '50 % of the chart’s tempo: 126'],
    ['share-70', 176, '70 % of the chart’s tempo: 176'],
    ['share-100', 252, 'the chart’s tempo: 252'],
  ] as const)('is set to a share by a digit, whatever it was: %s', (action, bpm, says) => {
    for (const before of [[], ['faster'], ['share-30']] as const) {
      const set = pressed(standing('weir-hands'), ...before, action);
      expect(onStand(set)?.bpm).toBe(bpm);
      expect(set.notice).toBe(says);
    }
  });

  it('has the digits on the stand and in a set, and leaves them what they were where they write, name or search', () => {
    for (const place of ['stand', 'song', 'card', 'asking', 'judged', 'waiting'] as const) {
      expect(actionFor(place, '5'), place).toBe('share-50');
      expect(actionFor(place, '0'), place).toBe('share-100');
      expect(actionFor(place, '%'), place).toBe('share-typed');
    }
    expect(actionFor('stand', '[')).toBeNull();
    expect(actionFor('transcribe', '5')).toBe('degree-5');
    expect(actionFor('dictation', '5')).toBe('degree-5');
    expect(actionFor('band', '5')).toBe('call-break');
    for (const place of ['library', 'order', 'requests', 'line'] as const)
      expect(actionFor(place, '5'), place).toBeNull();
  });

  it('is typed as any share, and what cannot be is told while it is typed', () => {
    const typing = (text: string): Model =>
      having(
        standing('weir-hands'),
        { kind: 'action', action: 'share-typed', at: 0 },
        { kind: 'typed', text },
      ).model;
    const fault = (text: string): string | undefined => {
      const { overlay } = typing(text);
      return overlay?.kind === 'line' ? overlay.fault : undefined;
    };
    expect(fault('85')).toBe('');
    expect(fault('85 %')).toBe('');
    expect(fault('7')).toBe('from 8 to 158 percent here');
    expect(fault('159')).toBe('from 8 to 158 percent here');
    expect(fault('fast')).toContain('not a whole number of percent');
    const set = having(typing('85'), { kind: 'action', action: 'line-done', at: 0 }).model;
    expect([set.overlay, onStand(set)?.bpm, set.notice]).toEqual([
      null,
      214,
      '85 % of the chart’s tempo: 214',
    ]);
  });

  it('stays within what there is', () => {
    const steps = Array.from({ length: 60 }, (): Action => 'share-up');
    expect(onStand(pressed(standing('weir-hands'), ...steps))?.bpm).toBe(400);
    expect(pressed(standing('weir-hands'), ...steps).notice).toBe('the tempo goes from 20 to 400');
  });

  it('is tapped: the middle of the last taps counts, not one that slipped', () => {
    const tapped = (...times: number[]): Model =>
      having(standing('weir-hands'), ...times.map((at) => press('tap', at))).model;
    expect(onStand(tapped(0, 300))?.bpm).toBe(252);
    expect(onStand(tapped(0, 300, 600))?.bpm).toBe(200);
    expect(onStand(tapped(0, 300, 600, 900, 1350, 1500))?.bpm).toBe(200);
    expect(onStand(tapped(0, 300, 600, 10_000, 10_500, 11_000))?.bpm).toBe(120);
  });

  it('is tapped once a felt beat: in cut time in halves', () => {
    const times = [0, 500, 1000, 1500].map((at) => press('tap', at));
    expect(onStand(having(standing('tollhouse-kettle'), ...times).model)?.bpm).toBe(120);
  });
});

describe('what is shown', () => {
  it('layouts and names come one after the other', () => {
    const base = standing('weir-hands');
    const layouts = (count: number): unknown =>
      onStand(pressed(base, ...Array.from({ length: count }, (): Action => 'layout')))?.sight.layout;
    expect([0, 1, 2, 3].map(layouts)).toEqual(['fours', 'phrases', 'written', 'fours']);
    expect(onStand(pressed(base, 'names'))?.sight.names).toBe('numbers');
    expect(onStand(pressed(base, 'names', 'names'))?.sight.names).toBe('chords');
    expect(onStand(pressed(base, 'far'))?.sight.far).toBe(true);
  });

  it('a peek ends by itself after eight beats', () => {
    const playing = running(standing('weir-hands')).model;
    let model = having(playing, { kind: 'clock', at: 4100 }, press('peek', 4100)).model;
    expect(onStand(model)?.sight.peek).toBe(8);
    for (let beat = 1; beat <= 8; beat += 1)
      model = having(model, { kind: 'clock', at: 4100 + beat * 1000 }).model;
    expect(onStand(model)?.sight.peek).toBe(0);
    expect(onStand(pressed(pressed(playing, 'peek'), 'peek'))?.sight.peek).toBe(0);
  });
});

describe('what is chosen for a chart', () => {
  it('is kept at once, and nothing else with it', () => {
    const chosen = (action: Action): object[] => kept(having(standing('weir-hands'), press(action)).effects);
    expect(chosen('faster')).toEqual([{ bpm: 257 }]);
    expect(chosen('key-up')).toEqual([{ key: 'C' }]);
    expect(chosen('count-in')).toEqual([{ countIn: 2 }]);
    expect(chosen('hide-hand')).toEqual([
      { sight: { layout: 'fours', names: 'both', hand: false, ahead: true } },
    ]);
    expect(chosen('hide-words')).toEqual([
      { sight: { layout: 'fours', names: 'both', hand: true, ahead: true, words: false } },
    ]);
    expect(chosen('show-tune')).toEqual([
      { sight: { layout: 'fours', names: 'both', hand: true, ahead: true, tune: true } },
    ]);
    expect(chosen('peek')).toEqual([]);
    expect(chosen('far')).toEqual([]);
    expect(chosen('bar-on')).toEqual([]);
  });
});

describe('tuning', () => {
  it('sounds each course, lowest first, alone and aloud; then all is as before', () => {
    const { model, effects } = having(standing('weir-hands'), press('tune'));
    const replaced = effects.find((effect) => effect.kind === 'replace');
    const events = replaced?.kind === 'replace' ? [...(replaced.segments[0]?.events ?? [])] : [];
    const notes = events.filter((_, index) => index % 4 === 2).map((packed) => (packed >> 8) & 0x7f);
    // G3 D4 A4 E5 (common practice, as MIDI numbers 55 62 69 76), each twice.
    expect(notes).toEqual([55, 55, 62, 62, 69, 69, 76, 76]);
    expect(model.notice).toBe('tuning: G3 D4 A4 E5');
    const levels = effects.find((effect) => effect.kind === 'levels');
    expect(levels).toEqual({ kind: 'levels', levels: voices.map((voice) => (voice === 'low' ? 100 : 0)) });
    const done = having(
      model,
      { kind: 'player', at: 0, message: { kind: 'state', state: 'running', tick: 0 } },
      { kind: 'player', at: 0, message: { kind: 'state', state: 'stopped', tick: 20_000 } },
    );
    expect(onStand(done.model)?.tuning).toBe(false);
    expect(done.effects.at(-1)).toEqual({
      kind: 'levels',
      levels: [100, 100, 0, 0, 100],
      gear: [100, 100, 0, 0, 0],
    });
  });

  it('is not for while the music runs, and stops when pressed again', () => {
    expect(pressed(running(standing('weir-hands')).model, 'tune').notice).toContain('pause first');
    const tuning = having(standing('weir-hands'), press('tune'), {
      kind: 'player',
      at: 0,
      message: { kind: 'state', state: 'running', tick: 0 },
    }).model;
    expect(having(tuning, press('tune')).effects).toEqual([{ kind: 'tell', message: { kind: 'pause' } }]);
  });
});

describe('another shape', () => {
  it('is chosen while paused, holds in this key, and the rest is planned round it', () => {
    const base = standing('weir-hands');
    const open = pressed(base, 'choose-shape');
    expect(open.overlay?.kind).toBe('shapes');
    const other = onStand(open)?.arrangement?.plan.changes[0]?.alternatives[0]?.fingering;
    if (!other) throw new Error('there is no other shape');
    const pick = {
      section: '0',
      chord: 'B',
      frets: other.frets.map((at) => at ?? 'x').join('-'),
      fingers: other.fingers.map((finger) => finger ?? 'x').join('-'),
    };
    const chosen = having(open, { kind: 'shape-chosen', pick });
    const first = onStand(chosen.model)?.arrangement?.plan.changes[0]?.fingering;
    expect(first?.frets).toEqual(other.frets);
    expect(first?.fingers).toEqual(other.fingers);
    expect(kept(chosen.effects)).toEqual([{ picks: [{ ...pick, section: 'V', key: 'B' }] }]);
    const elsewhere = pressed(chosen.model, 'key-up');
    expect(keyName(viewOf(elsewhere).performance.setup.key)).toBe('C');
    expect(onStand(pressed(elsewhere, 'key-down'))?.arrangement?.plan.changes[0]?.fingering?.frets).toEqual(
      other.frets,
    );
    const back = having(chosen.model, { kind: 'shape-chosen', pick: null }).model;
    expect(onStand(back)?.arrangement?.plan.changes[0]?.fingering?.frets).toEqual(
      onStand(base)?.arrangement?.plan.changes[0]?.fingering?.frets,
    );
  });

  it('is not for while the music runs', () => {
    const asked = pressed(running(standing('weir-hands')).model, 'choose-shape');
    expect(asked.overlay).toBeNull();
    expect(asked.notice).toContain('pause first');
  });
});

describe('going to a place that is typed', () => {
  const typed = (text: string): Model =>
    having(standing('third-lantern-down'), press('go-to'), ...type(text)).model;

  it('goes to a bar by its number, and to a section by how it begins', () => {
    expect(onStand(pressed(typed('12'), 'line-done'))?.cursor.bar).toBe(11);
    expect(onStand(pressed(typed('c'), 'line-done'))?.cursor.bar).toBe(20);
    expect(onStand(pressed(typed('br'), 'line-done'))?.cursor.bar).toBe(68);
    expect(lineOf(pressed(typed(''), 'line-done'))).toBeNull();
  });

  it('says what there is, and stays until it can be done', () => {
    expect(lineOf(typed('999'))?.fault).toBe('there are bars 1 to 100');
    expect(lineOf(pressed(typed('zz'), 'line-done'))?.fault).toBe(
      'no section has a name that begins like this',
    );
    expect(lineOf(pressed(typed('zz'), 'back'))).toBeNull();
  });

  it('is a line with a caret', () => {
    const line = pressed(typed('1c2'), 'line-left', 'line-left', 'line-erase');
    expect(lineOf(line)).toMatchObject({ text: 'c2', caret: 0 });
    const more = having(line, ...type('x')).model;
    expect(lineOf(more)).toMatchObject({ text: 'xc2', caret: 1 });
    expect(lineOf(pressed(more, 'line-end'))?.caret).toBe(3);
    expect(lineOf(pressed(more, 'line-start', 'line-erase'))?.text).toBe('xc2');
  });
});

describe('the pencil', () => {
  const open = (): Model => pressed(standing('weir-hands'), 'section-on', 'edit-bar');

  it('has the bar as it is written, tells faults while typing, and writes what can be read', () => {
    const shown = open();
    expect(lineOf(shown)).toMatchObject({ purpose: { kind: 'bar' }, text: '1', fault: '' });
    const wrong = having(shown, ...type('7')).model;
    expect(lineOf(wrong)?.fault).toContain('17');
    expect(lineOf(pressed(wrong, 'line-done'))).not.toBeNull();
    const { model, effects } = having(
      wrong,
      press('line-erase'),
      press('line-erase'),
      ...type('(4 1)'),
      press('line-done'),
    );
    expect(lineOf(model)).toBeNull();
    const write = effects.find((effect) => effect.kind === 'write');
    if (write?.kind !== 'write') throw new Error('nothing to undo');
    expect(write.text).toBe(write.before.replace('    1 1 4 4', '    (4 1) 1 4 4'));
    expect(onStand(model)?.arrangement?.bars[4]?.cells).toHaveLength(2);
    // The same written bar in the breaks and later verses.
    expect(onStand(model)?.arrangement?.bars[12]?.cells).toHaveLength(2);
  });

  it('says that a = after the bar is written out as it was', () => {
    const model = standing('weir-hands');
    const source = (onStand(model)?.source ?? '').replace('    1 1 4 4', '    1 = 4 4');
    const read = readChart(new TextEncoder().encode(source));
    if (!read.ok || model.mode.kind !== 'chart') throw new Error('no chart');
    const equal: Model = {
      ...model,
      mode: { ...model.mode, text: { ...model.mode.text, source, saved: source } },
      session: withSetup(model.session, { chart: read.value }),
    };
    const shown = pressed(equal, 'section-on', 'edit-bar');
    const { model: edited, effects } = having(shown, ...type('_'), press('line-done'));
    const write = effects.find((effect) => effect.kind === 'write');
    if (write?.kind !== 'write') throw new Error('nothing to undo');
    expect(write.text).toBe(source.replace('    1 = 4 4', '    1_ 1 4 4'));
    const { file, text } = write;
    const told = having(edited, { kind: 'written', of: file, file, text, says: 'written', open: false });
    expect(told.model.notice).toBe('the = after it is written out as it was: 1; written');
  });

  it('takes writings back, one after the other', () => {
    const once = having(open(), ...type('~'), press('line-done')).model;
    const twice = having(once, press('bar-on'), press('edit-bar'), ...type('!'), press('line-done')).model;
    expect(onStand(twice)?.source).toContain('1~ 1! 4 4');
    const one = having(twice, press('undo'));
    expect(onStand(one.model)?.source).toContain('1~ 1 4 4');
    // The first text is still being written: what was written since waits until it is there.
    expect(one.effects.some(({ kind }) => kind === 'write')).toBe(false);
    const none = pressed(one.model, 'undo');
    expect(onStand(none)?.source).toBe(onStand(standing('weir-hands'))?.source);
    expect(pressed(none, 'undo').notice).toContain('nothing to undo');
  });

  it('writes the bar it was opened for, however far the music has gone, and the music goes on with it', () => {
    const playing = running(standing('weir-hands')).model;
    const at = 4000 + 4 * 4000 + 100;
    const opened = having(playing, { kind: 'clock', at }, press('edit-bar', at), ...type('/5')).model;
    const later = at + 3 * 4000;
    const edited = having(opened, { kind: 'clock', at: later }, press('line-done', later));
    expect(onStand(edited.model)?.cursor.bar).toBe(7);
    expect(onStand(edited.model)?.source).toContain('    1/5 1 4 4');
    expect(edited.effects.map((effect) => effect.kind)).toContain('replace');
  });

  it('of an edited demo chart goes on with the file of the player’s own', () => {
    const model = standing('weir-hands');
    const written = {
      kind: 'written',
      of: 'weir-hands.yaml',
      file: '/home/own/weir-hands.yaml',
      text: onStand(model)?.source ?? '',
      says: 'written',
      open: false,
    } as const;
    expect(onStand(having(model, written).model)?.file).toBe('/home/own/weir-hands.yaml');
    // Another chart has come onto the stand meanwhile: that one stays what it is.
    expect(onStand(having(model, { ...written, of: 'other.yaml' }).model)?.file).toBe('weir-hands.yaml');
  });
});

describe('a rest', () => {
  it('is due after the set time of playing, said once, and begins again after one', () => {
    const base: Model = {
      ...standing('weir-hands'),
      rest: { limit: 60_000, played: 0, last: null, told: false },
    };
    const played = (model: Model, from: number, to: number): Model => {
      let next = model;
      for (let at = from; at <= to; at += 500) next = playedOn(next, at);
      return next;
    };
    expect(played(base, 0, 59_000).notice).toBe('');
    const due = played(base, 0, 60_500);
    expect(due.notice).toBe('1 minutes played: rest your hands a while; stop when something hurts');
    expect(played({ ...due, notice: '' }, 61_000, 80_000).notice).toBe('');
    // A pause of a minute is no rest, one of four is.
    expect(played(played(base, 0, 40_000), 100_000, 121_000).notice).not.toBe('');
    expect(played(played(base, 0, 40_000), 280_000, 320_000).notice).toBe('');
  });
});
