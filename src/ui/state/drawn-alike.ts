import { bandDrawnAlike } from './band.js';
import type { Model } from './model.js';

/** Whether two models look the same on the screen: little of what a band's messages change is visible. Without a band only the same model does. */
export function drawnAlike(one: Model, other: Model): boolean {
  if (one === other) return true;
  if (!one.band || !other.band) return false;
  const names = Object.keys(one) as (keyof Model)[];
  return (
    names.every((name) => name === 'band' || one[name] === other[name]) &&
    bandDrawnAlike(one.band, other.band)
  );
}
