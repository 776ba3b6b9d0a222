import { describe, expect, it } from 'vitest';
import { ConditionWatch, conditionSentence } from '../../src/ear/conditions.js';

describe('ConditionWatch', () => {
  it('tells what has lasted half a second, once, and when all is well again', () => {
    const watch = new ConditionWatch();
    const levels = [
      'fine',
      'clipping',
      'fine',
      ...Array(8).fill('clipping'),
      ...Array(6).fill('fine'),
    ] as const;
    const told = levels.map((one, at) => [at, watch.take(one)]).filter(([, one]) => one !== null);
    expect(told).toStrictEqual([
      [7, 'clipping'],
      [15, 'fine'],
    ]);
  });

  it('says for each what is wrong and what to do, in one line', () => {
    expect(conditionSentence('fine')).toBeNull();
    for (const condition of ['silent', 'clipping', 'noisy'] as const)
      expect(conditionSentence(condition, 'linux')).toMatch(/^the (microphone|room) [^;\n]*; [^\n]*[^.\n]$/);
    // There a microphone that is forbidden delivers zeros.
    expect(conditionSentence('silent', 'darwin')).toMatch(/System Settings/);
  });
});
