/** Repeatable noise between −1 and 1 (a linear congruential generator), so that the sound is always the same. */
export function noiseSource(seed: number): () => number {
  let state = (seed >>> 0) + 12345;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 0x80000000 - 1;
  };
}
