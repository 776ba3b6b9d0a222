import type { NeckSight } from '../../hand/neck-sight.js';

/** What lies behind the text: dark, or light enough that yellow and cyan cannot be read on it. */
export type Background = 'dark' | 'light';

/** How the screen may look: colours or not, Unicode or not. */
export interface Look {
  readonly colour: boolean;
  readonly unicode: boolean;
  /** The terminal's background; absent or `null` while it is not known, or is neither: then no colours are used. */
  readonly background?: Background | null;
  /** How the player sees the neck; as a right-handed player looking down, when absent. */
  readonly neck?: NeckSight;
}

/** Red, green and blue as a terminal reports them, each from 0 to 1. */
export type Rgb = readonly [red: number, green: number, blue: number];

/** The colours for a dark background can be read up to this luminance, those for a light one from there on. */
export const darkestLight = 0.46;
export const lightestDark = 0.055;

/** Which colours can be read on this one; `null`: neither those for dark backgrounds nor those for light ones. */
export function backgroundOf(colour: Rgb): Background | null {
  const light = luminance(colour);
  return light <= lightestDark ? 'dark' : light >= darkestLight ? 'light' : null;
}

/** How light a colour is, 0 to 1: relative luminance of sRGB as the Web Content Accessibility Guidelines 2.1 (W3C) define it. */
export function luminance(colour: Rgb): number {
  const [red, green, blue] = colour.map((part) =>
    part <= 0.03928 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4,
  ) as [number, number, number];
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}
