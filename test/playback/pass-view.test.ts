import { describe, expect, it } from 'vitest';
import { chordName } from '../../src/theory/chord.js';
import { plainText } from '../../src/ui/draw/line.js';
import { noticeLine } from '../../src/ui/draw/notice.js';
import { standLines } from '../../src/ui/draw/stand.js';
import { barsToMyTurn, changesAhead, handMoment, isHardChange, passView } from '../../src/ui/pass-view.js';
import { having, standing } from './model.js';

function view(name: string) {
  const model = standing(name);
  const found = model.stand && passView(model.stand);
  if (!found) throw new Error('there is no pass');
  return found;
}

describe('handMoment', () => {
  it('has the shape that is held, the next, and the one after, with the beats until then', () => {
    // kickoff: 1 1 5 1, then V: 1 1 4 4 …
    const told = (bar: number, beat: number): string => {
      const { now, next, after } = handMoment(view('weir-hands'), bar, beat, null);
      return [
        now && chordName(now.chord),
        next && `${chordName(next.change.chord)} ${next.beats}`,
        after && `${chordName(after.change.chord)} ${after.beats}`,
      ].join(', ');
    };
    expect(told(0, 0)).toBe('B, F# 8, B 12');
    expect(told(1, 3)).toBe('B, F# 1, B 5');
    expect(told(2, 0)).toBe('F#, B 4, E 16');
    // The last bar of the pass and the first hold the same chord: the hand stays.
    expect(told(59, 0)).toBe('B, F# 12, B 16');
  });

  it('goes round within a loop', () => {
    const { next, after } = handMoment(view('weir-hands'), 2, 2, { from: 1, to: 3 });
    expect([next?.beats, after?.beats]).toEqual([2, 6]);
  });

  it('has nothing ahead where nothing changes', () => {
    expect(changesAhead(view('weir-hands'), 0, 0, { from: 0, to: 2 }, 2)).toEqual([]);
  });
});

describe('barsToMyTurn', () => {
  it('says so from four bars ahead until the turn is over', () => {
    const found = view('weir-hands');
    const mine = found.bars.findIndex((bar) => bar.who === 'me');
    expect(mine).toBe(28);
    const told = [mine - 5, mine - 4, mine - 1, mine, mine + 7, mine + 8].map((bar) =>
      barsToMyTurn(found, bar, null),
    );
    expect(told).toEqual([null, 4, 1, 0, 0, null]);
  });

  it('is told on the stand', () => {
    const at = (bar: number): string => {
      const model = standing('weir-hands', 100, 30);
      const moved = having(
        model,
        { kind: 'action', action: 'go-to', at: 0 },
        { kind: 'typed', text: String(bar + 1) },
        { kind: 'action', action: 'entry-done', at: 0 },
      );
      return standLines(moved.model)
        .map((line) => plainText(line))
        .join('\n');
    };
    expect(at(20)).not.toContain('your turn');
    expect(at(24)).toContain('your turn in 4 bars');
    expect(at(27)).toContain('your turn in 1 bar ');
    expect(at(28)).toMatch(/your turn {2}/);
  });
});

describe('isHardChange', () => {
  it('is what is marked, and what is too slow for the tempo', () => {
    const found = view('third-lantern-down');
    const { hardness } = found;
    const marked = hardness.findIndex((one) => one.marked);
    const easy = hardness.findIndex((one) => !one.marked && one.bpm < 1000);
    const { bpm } = hardness[easy] as (typeof hardness)[number];
    expect(isHardChange(found, marked, 20)).toBe(true);
    expect(isHardChange(found, easy, bpm)).toBe(false);
    expect(isHardChange(found, easy, bpm + 1)).toBe(true);
    expect(isHardChange(found, 9999, 400)).toBe(false);
  });
});

describe('noticeLine', () => {
  it('has the turn before the notice, and what is typed before both', () => {
    const model = { ...standing('weir-hands'), notice: 'no loop' };
    expect(plainText(noticeLine(model, 2, 60))).toBe(' your turn in 2 bars  no loop');
    expect(plainText(noticeLine(model, null, 60))).toBe(' no loop');
    const entry = {
      purpose: 'go-to',
      label: 'to bar',
      text: '12',
      caret: 1,
      fault: 'there are bars 1 to 9',
      bar: null,
    } as const;
    const line = noticeLine({ ...model, entry }, 2, 60);
    expect(plainText(line)).toBe(' to bar: 12  ✗ there are bars 1 to 9');
    expect(line.find((piece) => piece.style === 'here')?.text).toBe('2');
  });

  it('keeps the caret of a long line in sight', () => {
    const text = 'abcdefghij'.repeat(15);
    for (const caret of [0, 20, 75, 149, 150]) {
      const entry = { purpose: 'name', label: 'its title', text, caret, fault: '', bar: null } as const;
      const line = noticeLine({ ...standing('weir-hands'), entry }, null, 60);
      expect(plainText(line).length).toBeLessThanOrEqual(62);
      expect(line.find((piece) => piece.style === 'here')?.text).toBe([...text][caret] ?? ' ');
    }
  });
});
