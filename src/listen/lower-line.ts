/** A point of a diagram: x rises from point to point. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** A straight line: `y = at + slope · x`. */
export interface Line {
  readonly at: number;
  readonly slope: number;
}

/**
 * The line that lies below all points and as near to them as possible, its slope within `steepest` of zero: of the lower
 * convex hull the edge over the middle of the points. Where delays can only be too long, that is the line without delay (Moon,
 * Skelly and Towsley, Estimation and removal of clock skew from network delay measurements, INFOCOM 1999).
 *
 * @param points at least one, by rising x
 */
export function lineBelow(points: readonly Point[], steepest: number): Line {
  const hull: Point[] = [];
  let sum = 0;
  for (const point of points) {
    sum += point.x;
    while (hull.length > 1 && !turnsUp(hull[hull.length - 2] as Point, hull[hull.length - 1] as Point, point))
      hull.pop();
    hull.push(point);
  }
  const middle = sum / points.length;
  const after = hull.findIndex(({ x }) => x > middle);
  const [left, right] = [hull[after - 1], hull[after]];
  const wanted = left && right ? (right.y - left.y) / (right.x - left.x) : 0;
  const slope = Math.max(-steepest, Math.min(steepest, wanted));
  let at = Number.POSITIVE_INFINITY;
  for (const { x, y } of hull) at = Math.min(at, y - slope * x);
  return { at, slope };
}

function turnsUp(first: Point, second: Point, third: Point): boolean {
  return (second.x - first.x) * (third.y - first.y) > (second.y - first.y) * (third.x - first.x);
}
