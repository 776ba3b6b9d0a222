import type { Setup } from '../playback/setup.js';
import { keyName, parseKey } from '../theory/key.js';
import { patterns } from '../time/pattern.js';
import type { SharedSetup } from './now.js';

/**
 * A follower's setup with what all have in common as the leader has it; everything else (instrument, hand, sound, click, mix) is its own.
 * The same object where nothing differs, and what does not differ keeps its identity: an arrangement is asked for only where it must be.
 */
export function asShared(setup: Setup, shared: SharedSetup): Setup {
  const parsed = parseKey(shared.key);
  const key = parsed.ok && keyName(parsed.value) !== keyName(setup.key) ? parsed.value : setup.key;
  const pattern =
    shared.pattern === (setup.pattern?.name ?? null)
      ? setup.pattern
      : ([...setup.patterns, ...patterns].find(({ name }) => name === shared.pattern) ?? null);
  const range = sameValue(shared.range, setup.range) ? setup.range : shared.range;
  const ramp = sameValue(shared.ramp, setup.ramp ?? null) ? setup.ramp : shared.ramp;
  const { bass: _, ...rest } = setup;
  const { bpm, passes, countIn, holds } = shared;
  const next: Setup = {
    ...rest,
    key,
    pattern,
    range,
    ramp,
    bpm,
    passes,
    countIn,
    ...(shared.bass === null ? {} : { bass: shared.bass }),
    holds,
  };
  const names = ['key', 'pattern', 'range', 'ramp', 'bpm', 'passes', 'countIn', 'bass'] as const;
  const same = names.every((name) => next[name] === setup[name]) && holds === (setup.holds ?? false);
  return same ? setup : next;
}

function sameValue(one: object | null, other: object | null): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}
