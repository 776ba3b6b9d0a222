import { describe, expect, it } from 'vitest';
import { plainText } from '../../../src/ui/draw/line.js';
import { noticeLine } from '../../../src/ui/draw/notice.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import type { LineOverlay } from '../../../src/ui/state/overlays.js';
import { having, standing } from '../model.js';

/** A line that is typed. */
function typing(line: Pick<LineOverlay, 'label' | 'text' | 'caret' | 'fault'>): LineOverlay {
  return { kind: 'line', purpose: { kind: 'go-to' }, behind: null, ...line };
}

describe('what is wrong with a typed line', () => {
  it('is read to its end on the stand, above the line', () => {
    const fault =
      'this sentence is long, and only at its end does it say what would have been right: (1... 5.)';
    const overlay = typing({ label: 'bar 3 of the pass, in V', text: '1...5', caret: 5, fault });
    const lines = standLines({ ...standing('weir-hands'), overlay }).map((one) => plainText(one).trim());
    const shown = lines.join(' ').replace(/\s+/g, ' ');
    expect(shown).toContain(fault);
    expect(shown.split('this sentence')).toHaveLength(2);
  });
});

describe('noticeLine', () => {
  it('has the turn before the notice, and what is typed before both', () => {
    const model = { ...standing('weir-hands'), notice: 'no loop' };
    expect(plainText(noticeLine(model, 2, 60))).toBe(' your turn in 2 bars  no loop');
    expect(plainText(noticeLine(model, null, 60))).toBe(' no loop');
    const overlay = typing({ label: 'to bar', text: '12', caret: 1, fault: 'there are bars 1 to 9' });
    const line = noticeLine({ ...model, overlay }, 2, 60);
    expect(plainText(line)).toBe(' to bar: 12  ✗ there are bars 1 to 9');
    expect(line.find((piece) => piece.style === 'here')?.text).toBe('2');
  });

  it('keeps the caret of a long line in sight', () => {
    const text = 'abcdefghij'.repeat(15);
    for (const caret of [0, 20, 75, 149, 150]) {
      const overlay = typing({ label: 'its title', text, caret, fault: '' });
      const line = noticeLine({ ...standing('weir-hands'), overlay }, null, 60);
      expect(plainText(line).length).toBeLessThanOrEqual(62);
      expect(line.find((piece) => piece.style === 'here')?.text).toBe([...text][caret] ?? ' ');
    }
  });

  it('says on the stand when it is this player’s turn, and from four bars ahead', () => {
    const at = (bar: number): string => {
      const model = standing('weir-hands', 100, 30);
      const moved = having(
        model,
        { kind: 'action', action: 'go-to', at: 0 },
        { kind: 'typed', text: String(bar + 1) },
        { kind: 'action', action: 'line-done', at: 0 },
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
