import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { leaderProgram } from '../../src/time/lead-program.js';

function chart(words: string) {
  const read = readChart(
    new TextEncoder().encode(`title: T\nkey: C\ntempo: 120\nsections:\n  A: |\n    1 4\n${words}`),
  );
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  return read.value;
}
const source = { section: 0, line: 0, bar: 0 };

// General MIDI System Level 1, counted from 1 there.
describe('the program of whoever leads', () => {
  it.each([
    ['fiddle', 41],
    ['Banjo', 106],
    ['guitar', 26],
    ['singer', 54],
    ['Ansa', 54],
    ['me', 26],
    ['constructor', 54],
  ])('%s: %i', (who, program) => {
    expect(leaderProgram(chart(''), { who, source }) + 1).toBe(program);
  });

  it('is a voice where nobody is named and the section has words, and else a fiddle', () => {
    expect(leaderProgram(chart('    > Over the weir\n'), { who: null, source }) + 1).toBe(54);
    expect(leaderProgram(chart(''), { who: null, source }) + 1).toBe(41);
  });
});
