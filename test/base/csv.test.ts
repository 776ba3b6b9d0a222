import { describe, expect, it } from 'vitest';
import { csvLine } from '../../src/base/csv.js';

describe('a line of a CSV document', () => {
  it('quotes what holds commas or quotation marks, doubled (RFC 4180, 2.5 to 2.7)', () => {
    expect(csvLine(['a', 'b,c', 'd"e', null, ''])).toBe('a,"b,c","d""e",,');
  });

  // OWASP, “CSV Injection”, and its Application Security Verification Standard 5.0, 1.2.10: text that begins with one of
  // these is marked by a single quote, put between double quotes, and its own double quotes are doubled.
  it.each([
    ['=1+1', `"'=1+1"`],
    ['=HYPERLINK("http://x","y")', `"'=HYPERLINK(""http://x"",""y"")"`],
    ['+1', `"'+1"`],
    ['-1', `"'-1"`],
    ['@SUM(A1)', `"'@SUM(A1)"`],
    ['\t=1', `"'␉=1"`],
    ['\r=1', `"'␍=1"`],
    ['\n=1', `"'␊=1"`],
    ['＝1', `"'＝1"`],
  ])('marks the text %j', (text, cell) => {
    expect(csvLine([text])).toBe(cell);
  });

  it('never marks numbers, nor text in which such a sign stands later', () => {
    expect(csvLine([-1, 1.5, 'a=b', "'x"])).toBe("-1,1.5,a=b,'x");
  });

  it('is one line without control characters, whatever a text holds', () => {
    expect(csvLine(['a\r\nb\u001b]52;c;x\u0007'])).toBe('a␍␊b␛]52;c;x␇');
  });
});
