/** Numbers from 0 up to 1, the same for the same seed (the mulberry32 generator, public domain). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** A list in random order, every order as likely as any other (Fisher and Yates). */
export function shuffled<T>(list: readonly T[], random: () => number): T[] {
  const next = [...list];
  for (let last = next.length - 1; last > 0; last -= 1) {
    const other = Math.floor(random() * (last + 1));
    [next[last], next[other]] = [next[other] as T, next[last] as T];
  }
  return next;
}

/** One of a list. */
export function oneOf<T>(list: readonly T[], random: () => number): T {
  return list[Math.floor(random() * list.length)] as T;
}

/** One of a list of [weight, thing]; weights are not negative, and one at least is above zero. */
export function byWeight<T>(list: readonly (readonly [weight: number, thing: T])[], random: () => number): T {
  let left = random() * list.reduce((sum, [weight]) => sum + weight, 0);
  for (const [weight, thing] of list) {
    left -= weight;
    if (left < 0) return thing;
  }
  return (list.at(-1) as readonly [number, T])[1];
}
