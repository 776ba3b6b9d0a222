import { describe, expect, it } from 'vitest';
import { fitText, piece, textWidth } from '../../../src/ui/draw/line.js';
import { paint } from '../../../src/ui/draw/paint.js';

const look = { colour: true, unicode: true, background: 'dark' } as const;
const hostile = 'a\u001b[41m\u001b]52;c;x\u0007\u009b2J\u202e\r\n';

describe('a painted line', () => {
  it('has the codes of its styles, and none that a text brought along', () => {
    expect(paint([piece(hostile, 'chord'), piece(hostile)], look)).toBe(
      '\u001b[36ma␛[41m␛]52;c;x␇�2J�␍␊\u001b[0ma␛[41m␛]52;c;x␇�2J�␍␊',
    );
  });

  it('is ASCII where that is wanted, with a question mark for each sign', () => {
    expect(paint([piece('é\u001b\u202e')], { colour: false, unicode: false })).toBe('e??');
  });

  it('takes as many columns as its text was measured to have', () => {
    expect(textWidth(hostile)).toBe(paint([piece(hostile)], look).length);
    expect(textWidth('\u001b[41mab')).toBe(7);
    expect(fitText('\u001b\u001b\u001b\u001b', 3)).toBe('\u001b\u001b…');
  });
});
