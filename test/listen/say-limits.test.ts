import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { cleanLimits } from '../../src/listen/limits.js';
import { limitLines, toldInterval } from '../../src/listen/say-limits.js';

it('tells the limits of every level, in the manual too', () => {
  const lines = limitLines();
  const { ahead, behind, spread } = cleanLimits('steady', toldInterval);
  expect(lines[0]).toMatch(/learning +steady +job$/);
  const steady = lines.slice(1).map((line) => Number(line.trim().split(/ {2,}/)[2]));
  expect(steady.slice(0, 3)).toEqual([ahead, behind, spread].map(Math.round));
  const manual = readFileSync(new URL('../../charts/reference/listening.md', import.meta.url), 'utf8');
  for (const line of lines) expect(manual).toContain(`    ${line}\n`);
});
