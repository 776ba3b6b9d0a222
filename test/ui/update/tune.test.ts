import { describe, expect, it } from 'vitest';
import { plainText } from '../../../src/ui/draw/line.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { actionFor } from '../../../src/ui/keys/bindings.js';
import { Runtime } from '../../../src/ui/runtime.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { nextNoteTime } from '../../../src/ui/state/tune-sight.js';
import { BandStage } from '../band-stage.js';
import { having, onStand, running, standing, standingText } from '../model.js';

const press = (action: Action, at = 0): Message => ({ kind: 'action', action, at });

const song = `title: Mill Road
key: C
tempo: 60
sections:
  A: |
    1 4 5 1
tune:
  A: |
    G, | CDEF G2 z2 | A4- A2 c2 | G8 | E6 z |
`;
const bare = song.slice(0, song.indexOf('tune:'));

/** A screen on which all notes of the song have room. */
const wide = { columns: 100, rows: 30 };

/** The stand with the tune shown, playing at a beat a second since time 0, a bar of count-in first. */
function playing(text = song): Model {
  return running(having(standingText(text, wide), press('show-tune')).model).model;
}

/** What is marked as sounding on the screen at a time, ms. */
function marked(model: Model, at: number): readonly string[] {
  const now = having(model, { kind: 'clock', at: at + 0.2 }).model;
  return standLines(now).flatMap((line) =>
    line.flatMap(({ text, style }) => (style === 'tune-on' ? [text] : [])),
  );
}

function screen(model: Model): string {
  return standLines(model)
    .map((line) => plainText(line).trimEnd())
    .join('\n');
}

describe('the key that shows the tune', () => {
  it('shows it and hides it, and says so; what was chosen is kept', () => {
    const off = standingText(song, wide);
    const { model: on, effects } = having(off, press('show-tune'));
    expect(screen(off)).not.toMatch(/5, 12 *34/);
    expect(screen(on)).toMatch(/5, 12 *34/);
    expect(on.notice).toBe('the tune, by degree: 0 is silence, - goes on');
    const kept = effects.flatMap((effect) => (effect.kind === 'keep' ? [effect.choices] : []));
    expect(kept).toStrictEqual([
      { sight: { layout: 'fours', names: 'both', hand: true, ahead: true, tune: true } },
    ]);
    const { model: again, effects: more } = having(on, press('show-tune'));
    expect(again.notice).toBe('the tune is hidden');
    expect(screen({ ...again, notice: '' })).toBe(screen(off));
    expect(more).toContainEqual(
      expect.objectContaining({
        kind: 'keep',
        choices: { sight: { layout: 'fours', names: 'both', hand: true, ahead: true } },
      }),
    );
  });

  it('says where a chart has none, and changes nothing', () => {
    const off = standingText(bare);
    const { model, effects } = having(off, press('show-tune'));
    expect(model.notice).toBe('this chart has no tune');
    expect(onStand(model)?.sight.tune).toBe(false);
    expect(effects).toStrictEqual([]);
  });

  it('is M wherever a chart stands, and no other key of any of these places', () => {
    for (const place of ['stand', 'song', 'card', 'follow', 'asking', 'judged', 'waiting'] as const)
      expect(actionFor(place, 'M')).toBe('show-tune');
  });

  it('changes nothing of the far view', () => {
    const far = having(standingText(song), press('far')).model;
    expect(screen({ ...having(far, press('show-tune')).model, notice: '' })).toBe(screen(far));
  });

  it('leaves every line of the stand below the tune where it was, on every size with room', () => {
    for (const [columns, rows] of [
      [80, 24],
      [100, 30],
      [140, 45],
    ] as const) {
      const off = standingText(song, { columns, rows });
      const on = { ...having(off, press('show-tune')).model, notice: '' };
      const differ = screen(off)
        .split('\n')
        .flatMap((line, index) => (line === screen(on).split('\n')[index] ? [] : [index]));
      expect(differ).toHaveLength(1);
    }
  });
});

describe('a stand that follows', () => {
  it.each(['mandolin', 'guitar', 'singer'] as const)(
    'shows the tune that came with the chart, and marks it: %s',
    (part) => {
      const stage = new BandStage(41);
      const leader = stage.come({ name: 'Ansa' });
      leader.put(song.replace('tempo: 60', 'tempo: 120'));
      leader.begin('lead');
      stage.wait(200);
      const other = stage.come({ name: 'Bo', part });
      other.begin('join');
      stage.wait(1500);
      other.dispatch({ kind: 'resized', columns: 100, rows: 30 });
      other.press('show-tune');
      expect(screen(other.model)).toMatch(/5, 12 *34/);
      expect(screen(leader.model)).not.toMatch(/5, 12 *34/);
      leader.press('play');
      const marks = new Set<string>();
      for (let wait = 0; wait < 100; wait += 1) {
        stage.wait(50);
        for (const line of standLines(other.model))
          for (const { text, style } of line) if (style === 'tune-on') marks.add(text);
      }
      expect([...marks].slice(0, 6)).toStrictEqual(['5,', '1', '2', '3', '4', '5']);
    },
  );
});

describe('the degree that sounds', () => {
  it('is marked from the instant it begins until it ends, the pick-up in the count-in too', () => {
    const model = playing();
    expect([2900, 3000, 3499, 3500, 4000, 4500, 5000].map((at) => marked(model, at).join())).toStrictEqual([
      '',
      '',
      '',
      '5,',
      '1',
      '2',
      '3',
    ]);
    expect([5500, 6000, 7000, 8000, 9000].map((at) => marked(model, at).join())).toStrictEqual([
      '4',
      '5',
      '',
      '6',
      '-',
    ]);
  });

  it('is the tune’s first again at the end of the form, where that goes round', () => {
    const model = playing();
    expect(marked(model, 19_000)).toStrictEqual([]);
    expect(marked(model, 19_500)).toStrictEqual(['5,']);
    expect(marked(model, 20_000)).toStrictEqual(['1']);
  });

  it('is not there while paused, and the tune is', () => {
    const paused = having(playing(), { kind: 'clock', at: 4600 }, press('play', 4600), {
      kind: 'player',
      at: 4700,
      message: { kind: 'state', state: 'paused', tick: 4500 },
    }).model;
    expect(marked(paused, 4700)).toStrictEqual([]);
    expect(screen(paused)).toMatch(/5, 12 *34/);
  });
});

describe('the next look at the clock', () => {
  it('is when the next note begins or ends within the beat, while the tune is shown', () => {
    const model = having(playing(), { kind: 'clock', at: 4000.2 }).model;
    expect(nextNoteTime(model, 4000.2)).toBeCloseTo(4500);
    expect(nextNoteTime(having(playing(), { kind: 'clock', at: 3100 }).model, 3100)).toBeCloseTo(3500);
    const hidden = having(model, press('show-tune', 4000.2)).model;
    expect(nextNoteTime(hidden, 4000.2)).toBeNull();
    expect(nextNoteTime(having(model, press('far', 4000.2)).model, 4000.2)).toBeNull();
    expect(nextNoteTime(running(standing('weir-hands')).model, 4000)).toBeNull();
  });

  it('is set so by the runtime, which draws each note when it begins', () => {
    let time = 0;
    let due = Number.POSITIVE_INFINITY;
    let look = (): void => {};
    const timers = {
      setTimer: (callback: () => void, ms: number) => {
        due = time + ms;
        look = callback;
        return due;
      },
      clearTimer: () => {
        due = Number.POSITIVE_INFINITY;
      },
    };
    const runtime = new Runtime(
      playing(),
      () => {},
      () => time,
      timers,
    );
    const drawn: string[] = [];
    runtime.subscribe(() => {
      const sounding = standLines(runtime.model()).flatMap((line) =>
        line.flatMap(({ text, style }) => (style === 'tune-on' ? [text] : [])),
      );
      const said = `${Math.floor(time)} ${sounding.join()}`;
      if (drawn.at(-1)?.split(' ')[1] !== sounding.join()) drawn.push(said);
    });
    runtime.dispatch({ kind: 'clock', at: 0 });
    while (due < 8100) {
      time = due;
      look();
    }
    runtime.stop();
    // Timers are of whole ms, upward.
    expect(drawn).toStrictEqual([
      '0 ',
      '3501 5,',
      '4001 1',
      '4501 2',
      '5001 3',
      '5501 4',
      '6001 5',
      '7001 ',
      '8001 6',
    ]);
  });
});
