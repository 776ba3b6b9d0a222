// What every bench has in common: it is called with `quick`, prints its tables, and answers its figures.

/** The median of numbers; NaN when there are none. */
export function median(list) {
  return [...list].sort((one, other) => one - other)[Math.floor(list.length / 2)] ?? Number.NaN;
}

/** The median time of a call, ms, after calls that only warm up. */
export function medianTime(call, rounds = 15, warmUp = 5) {
  for (let index = 0; index < warmUp; index += 1) call();
  return median(
    Array.from({ length: rounds }, () => {
      const start = performance.now();
      call();
      return performance.now() - start;
    }),
  );
}

/**
 * What is wrong with the figures that a bench answered, each by its name: that there are none, or that one is not a finite
 * number; `null` when all is well.
 */
export function figuresFault(figures) {
  const all = Object.entries(figures ?? {});
  if (all.length === 0) return 'it has no figure';
  const bad = all.filter(([, value]) => !Number.isFinite(value)).map(([name, value]) => `${name}: ${value}`);
  return bad.length === 0 ? null : `what is not a number is no figure: ${bad.join(', ')}`;
}

/** Runs a bench; answers how many figures it has, or what is wrong with it, in a sentence. */
export async function judged(bench, quick) {
  try {
    const figures = await bench(quick);
    const fault = figuresFault(figures);
    return fault === null ? { count: Object.keys(figures).length, fault } : { count: 0, fault };
  } catch (error) {
    return { count: 0, fault: `it threw: ${error?.message ?? error}` };
  }
}
