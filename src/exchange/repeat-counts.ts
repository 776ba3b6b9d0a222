import type { Remark, SheetBar } from './lead-sheet.js';

/** How often a repeat is played, where words say no more than that: `x3`, `(4x)`, `3 times`; `null` for all others. */
export function repeatCount(text: string): number | null {
  const [, behind, before] = /^\(?(?:x ?(\d{1,2})|(\d{1,2}) ?(?:x|times))\)?\.?$/i.exec(text.trim()) ?? [];
  const count = Number(behind ?? before ?? 0);
  return count >= 2 ? count : null;
}

/** Bars in which such words at a repeat's last bar, its first or after it are its count, and no longer a cue. Each is reported. */
export function withCounts(bars: readonly SheetBar[], remarks: Remark[]): readonly SheetBar[] {
  const all = [...bars];
  let from = -1;
  for (let index = 0; index < all.length; index += 1) {
    const bar = all[index] as SheetBar;
    if (bar.opens) from = index;
    // A sign that says itself how often goes before words.
    if (bar.closes !== 2) continue;
    const behind = all[index + 1];
    const at = [index, from, behind && !behind.opens ? index + 1 : -1].find((one) =>
      all[one]?.cues.some((text) => repeatCount(text) !== null),
    );
    const found = at === undefined ? undefined : all[at];
    if (at === undefined || !found) continue;
    const text = found.cues.find((one) => repeatCount(one) !== null) ?? '';
    all[at] = { ...found, cues: found.cues.filter((one) => one !== text) };
    all[index] = { ...(all[index] as SheetBar), closes: repeatCount(text) };
    remarks.push({
      place: found.place,
      message: `“${text}” is read as the number of times to play the repeat`,
    });
  }
  return all;
}
