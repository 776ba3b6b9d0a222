/** Lines of the screen that are not the list's own, where charts and sets are listed. */
export const libraryFrame = 6;

/** Lines that a page key moves on in the list of charts and sets, on a screen of this many rows. */
export function listPage(rows: number): number {
  return Math.max(1, rows - libraryFrame - 1);
}
