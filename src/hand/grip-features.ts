/** What is measured of a grip; each has a price in `gripPrices`. */
export const gripFeatures = [
  'stretch',
  'stretchBesideFlat',
  'cramped',
  'nearLimit',
  'crowded',
  'crowdedThird',
  'besideFlat',
  'flatLength',
  'flatCourses',
  'flatFinger',
  'flatOverLower',
  'little',
  'littleAcross',
  'idleIndex',
  'order',
  'offNut',
] as const;

/** The name of a measure of a grip. */
export type GripFeature = (typeof gripFeatures)[number];

/** The measures of a grip, in the order of `gripFeatures`. */
export type GripMeasures = Float64Array;

/** Room for the measures of a grip. */
export function noMeasures(): GripMeasures {
  return new Float64Array(gripFeatures.length);
}

/** The place of each measure among the measures. */
export const places = Object.fromEntries(gripFeatures.map((name, at) => [name, at])) as Record<
  GripFeature,
  number
>;

/** Adds to a measure. */
export function add(into: GripMeasures, place: number, by: number): void {
  into[place] = (into[place] as number) + by;
}

/** Raises a measure to a value, where it is less. */
export function raise(into: GripMeasures, place: number, to: number): void {
  into[place] = Math.max(into[place] as number, to);
}
