import { describe, expect, it } from 'vitest';
import { declared as lead } from '../../src/commands/lead.command.js';
import { declared as play } from '../../src/commands/play.command.js';

const shown = (declared: typeof play): string[] =>
  declared(() => {})
    .options.filter(({ hidden }) => !hidden)
    .map(({ long }) => long ?? '');

describe('leading a band', () => {
  it('can be told all that playing can, but for what only one who plays alone does', () => {
    const own = new Set(shown(lead));
    // A leader follows no other clock, and need not say that it leads.
    expect(shown(play).filter((option) => !own.has(option))).toEqual(['--follow', '--lead']);
  });
});
