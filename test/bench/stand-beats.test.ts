import { describe, expect, it } from 'vitest';
import { fitLine } from '../../src/ui/draw/line.js';
import { paint } from '../../src/ui/draw/paint.js';
import { standLines } from '../../src/ui/draw/stand.js';
import { ScreenWriter } from '../../src/ui/screen-writer.js';
import type { Background } from '../../src/ui/state/look.js';
import { update } from '../../src/ui/update/update.js';
import { running, standing } from '../ui/model.js';

interface Piece {
  readonly at: bigint;
  readonly data: Buffer;
}
interface Drawn {
  readonly lags: readonly number[];
  readonly missing: number;
}
// The benches are plain JavaScript, without types.
const { beatsDrawn, fromGrid } = (await import('./stand-beats.mjs' as string)) as {
  beatsDrawn: (
    clicks: readonly { at: bigint; beat: number }[],
    outputs: readonly Piece[],
    ms: number,
  ) => Drawn;
  fromGrid: (
    clicks: readonly { at: bigint }[],
    others: readonly (bigint | null)[],
    ms: number,
  ) => { click: readonly number[]; other: readonly number[] };
};

const ns = (ms: number): bigint => BigInt(Math.round(ms * 1e6));

/** What a stand writes that is drawn so many ms behind each of eight beats, a second each, behind its count-in. */
function written(background: Background | null, behind: number): Piece[] {
  const pieces: Piece[] = [];
  let now = 0;
  const terminal = {
    columns: 140,
    rows: 45,
    write: (text: string) => pieces.push({ at: ns(now), data: Buffer.from(text) }) > 0,
    on: () => {},
    off: () => {},
  };
  const writer = new ScreenWriter(terminal);
  const started = running(standing('weir-hands', 140, 45)).model;
  let model = { ...started, look: { colour: true, unicode: true, background } };
  for (let beat = 0; beat < 12; beat += 1) {
    now = beat * 1000 + behind;
    model = update(model, { kind: 'clock', at: beat * 1000 + 1 }).model as typeof model;
    writer.put(standLines(model).map((line) => paint(fitLine(line, 140), model.look)));
    writer.write('#lines#');
  }
  return pieces;
}

describe('beatsDrawn', () => {
  it.each([null, 'dark', 'light'] as const)(
    'reads the current beat off a screen with the background %s',
    (background) => {
      const clicks = Array.from({ length: 8 }, (_, beat) => ({ at: ns(4000 + beat * 1000), beat: beat % 4 }));
      const { lags, missing } = beatsDrawn(clicks, written(background, 7), 1000);
      expect({ lags, missing }).toEqual({ lags: Array(8).fill(7), missing: 0 });
    },
  );
});

describe('fromGrid', () => {
  it('tells a late click from a beat that was drawn early', () => {
    const at = [0, 500, 1022, 1500].map((ms) => ({ at: ns(ms) }));
    const drawn = [2, 502, 1002, null].map((ms) => (ms === null ? null : ns(ms)));
    expect(fromGrid(at, drawn, 500)).toEqual({ click: [0, 0, 22, 0], other: [2, 2, 2] });
  });
});
