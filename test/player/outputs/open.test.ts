import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openOutput } from '../../../src/player/outputs/open.js';

describe('openOutput', () => {
  it('opens the silent one anywhere', async () => {
    expect((await openOutput({ kind: 'none' }, () => {})).label).toBe('silent');
  });

  it('refuses with a sentence: a path that is not there', async () => {
    const path = join(tmpdir(), 'barkline-no-such-pipe');
    await expect(openOutput({ kind: 'raw', path }, () => {})).rejects.toThrow(
      `there is no ${path}; make a pipe`,
    );
  });

  // Whether the machine has MIDI or not, this port it has not.
  it('refuses with a sentence: a MIDI port that is not there', async () => {
    const opened = openOutput({ kind: 'midi', port: 'no port of this name' }, () => {});
    await expect(opened).rejects.toThrow(/no MIDI port/);
  });

  it('refuses with a sentence: a MIDI port by a number that is not there', async () => {
    await expect(openOutput({ kind: 'midi', port: '99999' }, () => {})).rejects.toThrow(/no MIDI port/);
  });
});
