import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isSafe } from '../../../src/base/safe-text.js';
import { type Action, actions } from '../../../src/ui/keys/actions.js';
import { actionFor, actionsAt, places, usualBindings } from '../../../src/ui/keys/bindings.js';
import { longestLine, readLine, words, wordUsage } from '../../../src/ui/typed/language.js';
import { leftOut } from '../../../src/ui/typed/left-out.js';
import { groups } from '../../../src/ui/typed/order.js';

const usual = { empty: 'where' };

/** Actions of keys that neither have a command nor a reason to have none. */
function unsaid(all: readonly Action[]): readonly Action[] {
  const said = new Set<Action>([
    ...words.flatMap((word) => word.actions),
    ...(Object.keys(leftOut) as Action[]),
  ]);
  return all.filter((action) => !said.has(action));
}

/** What a line is read as: the name of its command, or the fault. */
function readAs(line: string): string {
  const reading = readLine(line, usual);
  return reading.ok ? reading.word.name : reading.fault;
}

describe('commands and keys', () => {
  it('has a command for each action of a key, or a reason why not', () => {
    expect(unsaid(usualBindings.map(({ action }) => action))).toEqual([]);
    expect(unsaid(actions)).toEqual([]);
  });

  it('would notice a key that has neither', () => {
    expect(unsaid(['play', 'stand-on-head' as Action])).toEqual(['stand-on-head']);
  });

  it('gives no reason for what has a command, nor for what no key asks for', () => {
    const said = new Set<string>(words.flatMap((word) => word.actions));
    const bound = new Set<string>(usualBindings.map(({ action }) => action));
    expect(Object.keys(leftOut).filter((action) => said.has(action) || !bound.has(action))).toEqual([]);
    for (const why of Object.values(leftOut)) expect(why).toMatch(/^[\p{L} ,;’'-]+$/u);
  });

  it.each(places)('offers in each place exactly what its keys ask for: %s', (place) => {
    const keys = usualBindings.flatMap((binding) => binding.keys);
    const asked = new Set(keys.flatMap((key) => actionFor(place, key) ?? []));
    expect([...asked].filter((action) => !actionsAt(place).has(action))).toEqual([]);
    const unkeyed = [...actionsAt(place)].filter((action) => !asked.has(action));
    // An own key of the place may stand in front of the stand's, and two actions have no key unless the settings give one.
    const shadowed = new Set<Action>(
      usualBindings.filter((binding) => binding.place === 'stand').map(({ action }) => action),
    );
    expect(unkeyed.filter((action) => !shadowed.has(action))).toEqual([]);
  });
});

describe('readLine', () => {
  it.each([
    ['play', 'play'],
    ['  PLAY  ', 'play'],
    ['tempo 80 %', 'tempo'],
    ['tempo 80%', 'tempo'],
    ['tempo 180', 'tempo'],
    ['key D', 'key'],
    ['key down', 'key down'],
    ['key b flat', 'key'],
    ['loop 5-8', 'loop'],
    ['loop 5 to 8', 'loop'],
    ['loop off', 'loop'],
    ['once more', 'once more'],
    ['go on', 'go on'],
    ['go chorus', 'go'],
    ['12', 'go'],
    ['bar 5', 'bar'],
    ['bar 5 1 (1 4)', 'bar'],
    ['leave', 'leave'],
    ['leave out 3', 'leave out'],
    ['leave band', 'leave band'],
    ['?', 'help'],
    ['', 'where'],
    ['\u0007pla\u200by', '“pla y” is not a command; did you mean “play”?'],
    ['paly', '“paly” is not a command; did you mean “play”?'],
    ['tempoo 9', '“tempoo 9” is not a command; did you mean “tempo”?'],
    ['xyzzy', '“xyzzy” is not a command; help lists them'],
    ['play now', 'play: this command takes nothing after it'],
    ['tempo fast', 'tempo: the tempo goes from 20 to 400, or is a share: tempo 180, tempo 80 %'],
    ['tempo 0', 'tempo: the tempo goes from 20 to 400, or is a share: tempo 180, tempo 80 %'],
    ['voice fiddle on', 'voice: “fiddle” is not a voice; there are click, bass, low, chop, lead'],
    ['voice bas off', 'voice: “bas” is not a voice; did you mean “bass”?'],
    [
      'voice bass 900',
      'voice: a voice is on, off, alone, softer, louder, or has a level from 0 to 150 percent: voice bass 60',
    ],
    ['click 0-4', 'click: from 1 to 64 bars with a click and without: click 3-1'],
    ['say so', 'say: say more, say less or say nothing: say more announces every bar, say less only changes'],
    ['help tempp', 'help: “tempp” is not a command; did you mean “tempo”?'],
    [
      'x'.repeat(longestLine + 1),
      `a line has at most ${longestLine} characters; this one has ${longestLine + 1}`,
    ],
  ])('reads %j', (line, wanted) => {
    expect(readAs(line)).toBe(wanted);
  });

  it('takes a figure for a chord only while one is asked for', () => {
    const called = readLine('4', { ...usual, calls: true });
    expect(called.ok && called.word.name).toBe('chord 4');
    expect(readAs('4')).toBe('go');
  });

  it('reads every name and every other name as its own command', () => {
    for (const word of words)
      for (const name of [word.name, ...(word.also ?? [])]) {
        const reading = readLine(name, usual);
        // What wants something after it says so by its name.
        expect(reading.ok ? reading.word.name : reading.fault.startsWith(`${name}: `) && word.name).toBe(
          word.name,
        );
      }
  });

  it('has no two commands of one name, and all in a known group', () => {
    const names = words.flatMap((word) => [word.name, ...(word.also ?? [])]);
    expect(names.filter((name, at) => names.indexOf(name) !== at)).toEqual([]);
    expect(new Set(words.map(({ group }) => group))).toEqual(new Set(groups));
    for (const word of words) expect(wordUsage(word)).not.toMatch(/[\n<>]/);
  });

  it('answers whatever is typed with an order or one safe sentence', () => {
    const names = words.map(({ name }) => name);
    const lines = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 400 }),
      fc
        .tuple(fc.constantFrom(...names), fc.string({ maxLength: 40 }))
        .map(([name, rest]) => `${name} ${rest}`),
    );
    fc.assert(
      fc.property(lines, fc.boolean(), (line, calls) => {
        const reading = readLine(line, { empty: 'where', calls });
        if (!reading.ok) {
          expect(isSafe(reading.fault)).toBe(true);
          expect(reading.fault.length).toBeGreaterThan(5);
          expect(reading.fault.length).toBeLessThan(400);
        }
      }),
    );
  });
});
