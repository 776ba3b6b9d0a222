import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { findMidiLibrary, midiPackages } from '../../src/player/midi-library.js';

let destroyed = 0;
class Ports {
  getPortCount = (): number => 2;
  getPortName = (port: number): string => `Box ${port}`;
  destroy(): void {
    destroyed += 1;
  }
}
const alike = { Input: Ports, Output: Ports };

/** Loads the packages that are there; the others fail with a reason. */
const having =
  (there: Readonly<Record<string, unknown>>, reason = 'Cannot find module') =>
  (name: string): unknown => {
    if (name in there) return there[name];
    throw new Error(reason);
  };

describe('findMidiLibrary', () => {
  it.each([
    ['the compiled one where both load', [...midiPackages], 'midi'],
    ['the one that brings its programs where nothing was compiled', ['@julusian/midi'], '@julusian/midi'],
    ['the compiled one where it is alone', ['midi'], 'midi'],
  ])('takes %s', (_, names, taken) => {
    const found = findMidiLibrary(having(Object.fromEntries(names.map((name) => [name, alike]))));
    expect(found.ok && found.library.name).toBe(taken);
  });

  it('goes on to the next where one loads, but is not what it was', () => {
    const found = findMidiLibrary(having({ midi: {}, '@julusian/midi': alike }));
    expect(found.ok && found.library.name).toBe('@julusian/midi');
  });

  it('lists both ways by name, and lets go of what it asked', () => {
    const found = findMidiLibrary(having({ midi: alike }));
    if (!found.ok) throw new Error(found.why);
    destroyed = 0;
    expect(found.library.destinations()).toEqual(['Box 0', 'Box 1']);
    expect(found.library.sources()).toEqual(['Box 0', 'Box 1']);
    expect(destroyed).toBe(2);
  });

  it('says in one line what to do where neither loads', () => {
    expect(findMidiLibrary(having({}))).toEqual({
      ok: false,
      why: 'no MIDI ports: neither of the packages midi and @julusian/midi loads on this machine; run npm install again',
    });
  });

  it('says that the system lacks its library where that is the reason', () => {
    const reason = 'libasound.so.2: cannot open shared object file: No such file or directory';
    const found = findMidiLibrary(having({}, reason));
    expect(found.ok ? '' : found.why).toMatch(
      /^no MIDI ports: the ALSA library .* apt-get install libasound2/,
    );
    expect(found.ok ? '' : found.why).not.toContain('\n');
  });
});

describe('the packages as they are installed', () => {
  // It comes with its programs for every system we run on, so that it loads wherever the tests do.
  it('has one that loads without a compiler', () => {
    const load = createRequire(import.meta.url);
    const found = findMidiLibrary((name) => (name === 'midi' ? having({})(name) : load(name)));
    expect(found.ok ? found.library.name : found.why).toBe('@julusian/midi');
  });
});
