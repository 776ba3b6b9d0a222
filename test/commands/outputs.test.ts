import { describe, expect, it } from 'vitest';
import { followerOutputs } from '../../src/commands/outputs.js';
import { readSettings } from '../../src/config/settings.js';

const { settings } = readSettings('/nowhere', { actions: [], isKey: () => true });

describe('followerOutputs', () => {
  it('are none unless a sound was asked for, so that laptops in one room do not all click', () => {
    expect(followerOutputs({}, settings)).toMatchObject({ outs: [{ kind: 'none' }], also: [] });
  });

  it('are those that were asked for', () => {
    const raw = followerOutputs({ out: ['raw:/tmp/one', 'sound'] }, settings);
    expect(raw.outs).toMatchObject([{ kind: 'raw', path: '/tmp/one' }]);
    expect(raw.also).toMatchObject([{ kind: 'sound' }]);
  });

  it.each([{ voices: 'click' }, { click: 'backbeat' as never }, { sendClock: true }])(
    'are the usual ones where something is to sound: %o',
    (flags) => {
      const kinds = followerOutputs(flags, settings).outs.map(({ kind }) => kind);
      expect(kinds.slice(-2)).toEqual(['sound', 'none']);
    },
  );
});
