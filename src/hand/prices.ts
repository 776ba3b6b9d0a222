/**
 * What a change costs, in milliseconds. Travel is priced in the form of Fitts' law with MacKenzie's refit
 * of Fitts's stylus data (12.8 + 94.7 · log2(A/W + 1), from memory): not measured on a fretting hand, so
 * good for ranking, and a starting value that a player's own figures replace. The others are ours.
 */
export interface Prices {
  /** Fitts intercept and slope, ms and ms a bit. */
  readonly intercept: number;
  readonly slope: number;
  /** Width of the place a fingertip must hit, mm. */
  readonly target: number;
  /** Share of its own time that every further, independent move adds to the slowest one. */
  readonly further: number;
  /** Lifting a finger, and landing one that was in the air, ms. */
  readonly lift: number;
  readonly land: number;
}

/** The prices that hold unless a player's own replace them. */
export const usualPrices: Prices = {
  intercept: 12.8,
  slope: 94.7,
  target: 8,
  further: 0.3,
  lift: 4,
  land: 12,
};

/** How long a finger takes over a distance: Fitts' law in Shannon's form. */
export function travelMs(millimetres: number, prices: Prices): number {
  return prices.intercept + prices.slope * Math.log2(millimetres / prices.target + 1);
}
