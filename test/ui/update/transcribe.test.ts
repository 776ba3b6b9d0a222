import { describe, expect, it } from 'vitest';
import { readChart } from '../../../src/chart/read.js';
import { emptyTranscript } from '../../../src/chart/transcript.js';
import { mandolin } from '../../../src/hand/instrument.js';
import { plainText } from '../../../src/ui/draw/line.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import type { Message } from '../../../src/ui/state/messages.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import { having, lineOf, onStand, running, usualStart } from '../model.js';

const barMs = 4000;
const press = (action: Action, at = 0): Message => ({ kind: 'action', action, at });
const clock = (at: number): Message => ({ kind: 'clock', at });

/** A count on the stand, as the list opens it. */
function counting(): Model {
  const text = `title: written down\nkey: G\ntempo: 120\nsections:\n  A: |\n${'    nc nc nc nc\n'.repeat(8)}`;
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error('the count does not read');
  const start = {
    key: read.value.key,
    bpm: 120,
    countIn: 1,
    passes: 1,
    range: null,
    from: 0,
    instrument: mandolin,
    plan: {},
    ...usualStart,
  };
  return having(
    firstModel({ colour: false, unicode: true }, 80, 24),
    {
      kind: 'chart-opened',
      file: '',
      chart: read.value,
      start,
      source: text,
      transcript: emptyTranscript,
      draft: '0123456789abcdef',
    },
    {
      kind: 'player',
      at: 0,
      message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [] },
    },
  ).model;
}

/** The same while its count runs: a bar of count-in, then a bar every four seconds. */
function taken(...messages: Message[]): Model {
  return having(running(counting()).model, ...messages).model;
}

const bar = (number: number, beat = 0): number => number * barMs + beat * 1000 + 10;

describe('writing down', () => {
  it('says at the top which bar it is: there are no passes of what is not written yet', () => {
    const head = (model: Model): string => plainText(standLines(model)[0] ?? []);
    expect(head(taken(clock(bar(3, 1))))).toContain('bar 3 ');
    expect(head(taken(clock(bar(3, 1))))).not.toContain('pass');
  });

  it('writes what is called into the bar that sounds, and in its last beat into the next', () => {
    const model = taken(
      press('degree-1', 500),
      clock(bar(2)),
      press('degree-4', bar(2)),
      clock(bar(2, 3)),
      press('degree-5', bar(2, 3)),
      clock(bar(4)),
      press('degree-6', bar(4)),
      press('write-minor', bar(4)),
    );
    expect(
      onStand(model)?.transcript?.bars.map(
        (one) => one?.chords.map(({ degree, minor }) => `${degree}${minor ? '-' : ''}`) ?? null,
      ),
    ).toEqual([['1'], ['4'], ['5'], ['6-']]);
  });

  it('shows what was taken, held through bars without a call', () => {
    const model = taken(clock(bar(1)), press('degree-1'), clock(bar(4)), press('degree-4', bar(4)));
    const shown = standLines(model).map((line) => plainText(line).trimEnd());
    expect(shown.some((line) => /^ A +1 +1 +1 +4$/.test(line))).toBe(true);
    expect(shown[0]).toContain('writing down');
    expect(shown.join('\n')).toContain('1 to 7 write the chord');
  });

  it('asks for a title, and writes a chart of it', () => {
    const model = taken(clock(bar(1)), press('degree-1'), clock(bar(2)), press('degree-5', bar(2)));
    const asked = having(model, press('write-done', bar(3)));
    expect(asked.effects).toContainEqual({ kind: 'tell', message: { kind: 'pause' } });
    expect(lineOf(asked.model)).toMatchObject({ purpose: { kind: 'title' } });
    const named = having(asked.model, { kind: 'typed', text: 'Ferry Bell' }, press('line-done'));
    expect(named.effects).toEqual([
      {
        kind: 'write-new',
        title: 'Ferry Bell',
        text: 'title: Ferry Bell\nkey: G\ntempo: 120\nmeter: 4/4\nsections:\n  A: |\n    1 5 5 5\n',
      },
    ]);
    const opened = having(named.model, {
      kind: 'written',
      of: '',
      file: '/own/ferry-bell.yaml',
      text: '',
      says: 'kept',
      open: true,
    });
    // It is no longer kept only now, when a chart has it.
    expect(opened.effects).toEqual([
      { kind: 'keep-transcript', name: '0123456789abcdef', transcript: null },
      { kind: 'open', file: '/own/ferry-bell.yaml', wishes: { key: null, bpm: null }, from: 'chart' },
    ]);
  });

  it('is kept while it grows, with its key and tempo, and offered no more when it was left for good', () => {
    const begun = having(running(counting()).model, press('degree-4'));
    expect(begun.effects).toContainEqual({
      kind: 'keep-transcript',
      name: '0123456789abcdef',
      transcript: { key: 'G', tempo: '120', meter: '4/4', transcript: onStand(begun.model)?.transcript },
    });
    const kept = (...messages: Message[]) =>
      having(begun.model, ...messages).effects.filter(({ kind }) => kind === 'keep-transcript');
    expect(kept(press('key-up'))).toMatchObject([{ transcript: { key: 'Ab' } }]);
    expect(kept(clock(bar(2)))).toEqual([]);
    expect(kept(press('leave'))).toEqual([]);
    expect(kept(press('write-erase'))).toMatchObject([{ transcript: null }]);
    expect(kept(press('back'))).toEqual([]);
    expect(kept(press('back'), press('back'))).toEqual([
      { kind: 'keep-transcript', name: '0123456789abcdef', transcript: null },
    ]);
  });

  it('keeps nothing of a count as choices for a chart', () => {
    const { effects } = having(counting(), press('faster'), press('key-up'), press('play'));
    expect(effects.some((effect) => effect.kind === 'keep')).toBe(false);
  });

  it('chooses the meter before the first chord', () => {
    const three = having(counting(), press('write-meter')).model;
    expect(onStand(three)?.chart.meter).toEqual({ beats: 3, unit: 4 });
    const cut = having(three, press('write-meter')).model;
    expect(onStand(cut)?.chart).toMatchObject({ meter: { beats: 2, unit: 2 }, tempo: { count: 'half' } });
    expect(onStand(having(cut, press('write-meter'), press('write-meter')).model)?.chart.meter).toEqual({
      beats: 4,
      unit: 4,
    });
    const late = having(counting(), press('degree-1'), press('write-meter')).model;
    expect(onStand(late)?.chart.meter).toEqual({ beats: 4, unit: 4 });
    expect(late.notice).toContain('before the first chord');
  });

  it('does not lose what was taken at the first Esc, nor name an empty chart', () => {
    const model = {
      ...taken(clock(bar(1)), press('degree-1')),
      library: { title: 'l', items: [], index: 0, from: null, query: '' },
    };
    const warned = having(model, press('back')).model;
    expect(warned.mode.kind).toBe('transcribe');
    expect(warned.notice).toContain('Esc again loses what was written down');
    expect(having(warned, press('back')).model.mode.kind).toBe('library');
    expect(having({ ...counting(), library: model.library }, press('back')).model.mode.kind).toBe('library');
    expect(having(counting(), press('write-done')).model.notice).toContain('nothing is written down yet');
  });
});
