import { describe, expect, it } from 'vitest';
import { xdgPlaces } from '../../src/config/folders.js';

const nobody = (): string => '';
const places = (env: Record<string, string>, home: () => string = nobody) => xdgPlaces('barkline', env, home);

describe('the base directories', () => {
  it('are those of HOME, or what the variables say', () => {
    expect(places({ HOME: '/home/a' })).toEqual({
      config: '/home/a/.config/barkline',
      data: '/home/a/.local/share/barkline',
      state: '/home/a/.local/state/barkline',
      remarks: [],
    });
    expect(places({ HOME: '/home/a', XDG_STATE_HOME: '/var/s' }).state).toBe('/var/s/barkline');
    expect(places({ HOME: '/home/a', XDG_STATE_HOME: '' }).state).toBe('/home/a/.local/state/barkline');
  });

  it('ignore a path that is not absolute, and say so', () => {
    expect(places({ HOME: '/home/a', XDG_CONFIG_HOME: 'here/config', XDG_DATA_HOME: './x' })).toEqual({
      config: '/home/a/.config/barkline',
      data: '/home/a/.local/share/barkline',
      state: '/home/a/.local/state/barkline',
      remarks: [
        'XDG_CONFIG_HOME is not an absolute path; it is ignored',
        'XDG_DATA_HOME is not an absolute path; it is ignored',
      ],
    });
  });

  it('without a usable HOME are those the system knows, or none at all', () => {
    expect(places({ HOME: '' }, () => '/home/b').state).toBe('/home/b/.local/state/barkline');
    expect(places({ HOME: 'b' }, () => '/home/b').state).toBe('/home/b/.local/state/barkline');
    const { state, remarks } = places({ HOME: '' });
    expect(state.startsWith('/dev/null/')).toBe(true);
    expect(remarks).toEqual([
      'there is no home folder, so nothing can be saved: set HOME to an absolute path',
    ]);
    expect(places({ XDG_CONFIG_HOME: '/c', XDG_DATA_HOME: '/d', XDG_STATE_HOME: '/s' }).remarks).toEqual([]);
  });
});
