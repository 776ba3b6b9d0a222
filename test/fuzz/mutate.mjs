// Chance with a seed, and files changed by it.

/** A row of chance numbers that the same seed makes again. */
export function chance(seed) {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

/** One of the seeds with a few places changed: cut, overwritten, repeated, mixed with another, sprinkled with tokens. */
export function mutate(seeds, tokens, random) {
  let bytes = Buffer.from(seeds[random(seeds.length)]);
  for (let count = 1 + random(6); count > 0; count -= 1) {
    const at = random(bytes.length + 1);
    const length = random(4) === 0 ? random(400) : random(8);
    const kind = random(6);
    const token = Buffer.from(tokens[random(tokens.length)]);
    const before = bytes.subarray(0, at);
    if (kind === 0) bytes = Buffer.concat([before, bytes.subarray(at + length)]);
    else if (kind === 1) bytes = Buffer.concat([before, token, bytes.subarray(at)]);
    else if (kind === 2 && bytes.length > 0) bytes[random(bytes.length)] = random(256);
    else if (kind === 3)
      bytes = Buffer.concat([
        before,
        bytes.subarray(random(bytes.length + 1), random(bytes.length + 1)),
        bytes.subarray(at),
      ]);
    else if (kind === 4) {
      // Seldom very often: what is slow only in long files is to be found too.
      const times = 1 + random(random(20) === 0 ? 5000 : 200);
      bytes = Buffer.concat([before, Buffer.concat(Array(times).fill(token)), bytes.subarray(at)]);
    } else {
      const other = seeds[random(seeds.length)];
      bytes = Buffer.concat([
        before,
        other.subarray(random(200), 200 + random(400)),
        bytes.subarray(at + length),
      ]);
    }
  }
  return bytes;
}

/** The same for a format of elements: whole elements are doubled, left out and put in, and numbers changed, so that most still reads. */
export function mutateElements(seeds, tokens, random) {
  if (random(5) === 0) return mutate(seeds, tokens, random);
  const pieces = seeds[random(seeds.length)].toString('utf8').split(/(?<=>)(?=<)|(?<=>\s)(?=<)/);
  for (let count = 1 + random(8); count > 0; count -= 1) {
    const at = random(pieces.length);
    const kind = random(5);
    if (kind === 0) pieces.splice(at, 0, tokens[random(tokens.length)]);
    else if (kind === 1) pieces[at] = (pieces[at] ?? '').replace(/\d+/, () => String(random(20) - 2));
    else if (kind === 2)
      pieces[at] = (pieces[at] ?? '').replace(/>[^<>]+</, () => `>${tokens[random(tokens.length)]}<`);
    else {
      // From one opening of a measure to another, so that what is moved is whole.
      const bars = pieces.flatMap((piece, index) => (piece.startsWith('<measure') ? [index] : []));
      const from = bars[random(bars.length)] ?? 0;
      const to = bars[random(bars.length)] ?? 0;
      const taken = pieces.slice(Math.min(from, to), Math.max(from, to));
      if (kind === 3) pieces.splice(from, 0, ...taken.slice(0, 2000));
      else pieces.splice(Math.min(from, to), taken.length);
    }
  }
  return Buffer.from(pieces.join(''));
}
