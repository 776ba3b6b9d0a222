import { describe, expect, it } from 'vitest';
import { longestTag, mostTags } from '../../src/chart/read-tags.js';
import { writeChart } from '../../src/chart/write.js';
import { chart, faultsOf, headed } from './written.js';

const bars = 'sections:\n  V: |\n    1\n';
const withHead = (head: string): string => headed(`${head}\n${bars}`);
const tagsOf = (head: string): readonly string[] | undefined => chart(withHead(head)).tags;

describe('tags', () => {
  it.each([
    ['tags: waltz', ['waltz']],
    ['tags: waltz, slow ,level  1', ['waltz', 'slow', 'level 1']],
    ['tags: [waltz, "slow", level 1]', ['waltz', 'slow', 'level 1']],
    ['tags:\n  - waltz\n  - slow, sung', ['waltz', 'slow', 'sung']],
    ["tags: 'Ansa’s, R&B'", ['Ansa’s', 'R&B']],
    ['tags: 200, 1 4 5', ['200', '1 4 5']],
    ['tags: Wälzer, mø', ['Wälzer', 'mø']],
    ['tempo: 90', undefined],
  ])('%j', (head, tags) => {
    expect(faultsOf(withHead(head))).toStrictEqual([]);
    expect(tagsOf(head)).toStrictEqual(tags);
  });

  it.each([
    ['tags:', '3:6 error tags are words with commas between them'],
    ['tags:\n  slow: yes', '4:3 error tags are words with commas between them'],
    ['tags: [[a]]', '3:7 error tags are words with commas between them'],
    ['tags: slow,, fast', '3:12 error a tag is missing between two commas'],
    ['tags: slow,', '3:12 error a tag is missing between two commas, or at an end'],
    ['tags: ♯, slow', '3:7 error “♯” is not a tag; a tag begins with a letter'],
    ['tags: slow, -fast', '3:13 error “-fast” is not a tag'],
    ['tags: “slow”', '3:7 error ““slow”” is not a tag'],
    ['tags: "slow, fast_1"', '3:14 error “fast_1” is not a tag'],
    ['tags:\n  - slow\n  - fast, b:c', '5:11 error “b:c” is not a tag'],
    [`tags: slow, ${'x'.repeat(longestTag + 1)}`, '3:13 error the tag “xxx'],
    ['tags: slow, fast, Slow', '3:19 warning the tag “slow” is there already'],
    ['tgas: slow', "3:1 warning “tgas” is not a field of a chart's head; did you mean “tags”?"],
  ])('%j', (head, fault) => {
    expect(faultsOf(withHead(head))).toStrictEqual([expect.stringContaining(fault)]);
  });

  it('has a limit, and names the one that is too many', () => {
    const tags = Array.from({ length: mostTags }, (_, index) => `t${index}`);
    expect(tagsOf(`tags: ${tags.join(', ')}`)).toStrictEqual(tags);
    const [fault, ...more] = faultsOf(withHead(`tags: ${[...tags, 'over', 'more'].join(', ')}`));
    expect(fault).toMatch(/^3:\d+ error a chart has at most 12 tags; .*leave “over” or another out$/);
    expect(more).toStrictEqual([]);
  });

  it('takes no time over a line of commas or a very long tag', () => {
    expect(faultsOf(withHead(`tags: ${','.repeat(5000)}`)).length).toBeGreaterThan(0);
    expect(faultsOf(withHead(`tags: ${'a'.repeat(200_000)}`))[0]).toContain('200000 characters');
  });

  it('are written back, and read the same', () => {
    for (const head of ['tags: [200]', 'tags: "null"', 'tags: yes', 'tags: level 1, R&B']) {
      const first = chart(withHead(head));
      const text = writeChart(first);
      expect(text).toContain('\ntags: ');
      expect(chart(text).tags).toStrictEqual(first.tags);
      expect(first.tags).toBeDefined();
    }
  });
});
