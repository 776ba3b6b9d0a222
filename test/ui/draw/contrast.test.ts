import { describe, expect, it } from 'vitest';
import type { Style } from '../../../src/ui/draw/line.js';
import { type Theme, themeOf } from '../../../src/ui/draw/themes.js';
import {
  type Background,
  backgroundOf,
  darkestLight,
  lightestDark,
  luminance,
  type Rgb,
} from '../../../src/ui/state/look.js';

/*
 * The sixteen colours and the text's own as xterm's colour resources have them: “XTerm-color”, the application defaults of
 * xterm (XTerm-col.ad, T. E. Dickey), whose names are those of X’s rgb.txt.
 */
const palette = [
  '000000',
  'cd0000',
  '00cd00',
  'cdcd00',
  '0000ee',
  'cd00cd',
  '00cdcd',
  'e5e5e5',
  '7f7f7f',
  'ff0000',
  '00ff00',
  'ffff00',
  '5c5cff',
  'ff00ff',
  '00ffff',
  'ffffff',
].map(rgb); // prettier-ignore

function rgb(hex: string): Rgb {
  return [0, 2, 4].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255) as unknown as Rgb;
}

/** Backgrounds as terminals have them: black, near-black, white, near-white; with the text's own colour there. */
const screens = {
  dark: [
    ['000000', 'e5e5e5'],
    ['101014', 'd8d8d8'],
    ['1e1e1e', 'd4d4d4'],
    ['282a36', 'f8f8f2'],
  ],
  light: [
    ['ffffff', '000000'],
    ['fbfbf8', '202020'],
    ['fafafa', '202020'],
    ['eeeeee', '000000'],
  ],
} as const;

/** The ratio of contrast of WCAG 2.1 (W3C): from 1 to 21. */
function contrast(one: Rgb, other: Rgb): number {
  const [less = 0, more = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (more + 0.05) / (less + 0.05);
}

/** How a terminal draws text with these parameters: bold may make a colour bright, faint text has a third of the background. */
function drawn(codes: string, back: Rgb, text: Rgb, boldIsBright: boolean): readonly [Rgb, Rgb] {
  let [fore, behind, bold, faint, inverse]: [number | null, number | null, boolean, boolean, boolean] = [
    null,
    null,
    false,
    false,
    false,
  ];
  for (const code of codes
    .split(';')
    .filter((one) => one !== '')
    .map(Number)) {
    if (code === 1) bold = true;
    else if (code === 2) faint = true;
    else if (code === 7) inverse = true;
    else if (code >= 30 && code <= 37) fore = code - 30;
    else if (code >= 40 && code <= 47) behind = code - 40;
    else if (![3, 4].includes(code)) throw new Error(`no test knows the parameter ${code}`);
  }
  const index = fore !== null && bold && boldIsBright ? fore + 8 : fore;
  const plain = index === null ? text : (palette[index] as Rgb);
  const ground = behind === null ? back : (palette[behind] as Rgb);
  const ink = faint
    ? (plain.map((part, at) => (2 * part + (ground[at] as number)) / 3) as unknown as Rgb)
    : plain;
  return inverse ? [ground, ink] : [ink, ground];
}

function least(theme: Theme, back: Rgb, text: Rgb): readonly [number, string] {
  const ratios = Object.entries(theme).flatMap(([style, codes]) =>
    [true, false].map((bright) => [contrast(...drawn(codes, back, text, bright)), style] as const),
  );
  return ratios.reduce((one, other) => (other[0] < one[0] ? other : one));
}

describe('the contrast of every style', () => {
  it('is computed as WCAG 2.1 has it', () => {
    expect(contrast(rgb('000000'), rgb('ffffff'))).toBeCloseTo(21, 5);
    expect(contrast(rgb('777777'), rgb('ffffff'))).toBeCloseTo(4.48, 2);
    expect(contrast(rgb('ffff00'), rgb('ffffff'))).toBeCloseTo(1.07, 2);
  });

  it.each([
    ...screens.dark.map(([back, text]) => ['dark', back, text] as const),
    ...screens.light.map(([back, text]) => ['light', back, text] as const),
  ])('%s: on #%s with text #%s at least 4.5', (background: Background, back, text) => {
    expect(backgroundOf(rgb(back))).toBe(background);
    const theme = themeOf({ colour: true, background });
    const [ratio, style] = least(theme, rgb(back), rgb(text));
    expect(ratio, style).toBeGreaterThanOrEqual(4.5);
  });

  it.each([...screens.dark, ...screens.light])('not known: on #%s with text #%s too', (back, text) => {
    for (const look of [{ colour: true }, { colour: true, background: null }, { colour: false }]) {
      const [ratio, style] = least(themeOf(look), rgb(back), rgb(text));
      expect(ratio, style).toBeGreaterThanOrEqual(4.5);
    }
  });

  it('keeps to 4.5 on any background for which a theme is chosen', () => {
    for (let part = 0; part <= 255; part += 1) {
      const back: Rgb = [part / 255, part / 255, part / 255];
      const background = backgroundOf(back);
      // The text's own colour is the terminal's affair: the furthest one here.
      const text = rgb(luminance(back) < 0.18 ? 'ffffff' : '000000');
      const theme = themeOf({ colour: true, background });
      const own = Object.fromEntries(Object.entries(theme).filter(([, codes]) => /\b3[0-7]\b/.test(codes)));
      expect(least(own as Theme, back, text)[0], String(part)).toBeGreaterThanOrEqual(4.5);
    }
    expect(backgroundOf(rgb('808080'))).toBeNull();
    expect(lightestDark).toBeLessThan(darkestLight);
  });
});

describe('what a style means', () => {
  /** Which styles must be told apart where they stand side by side. */
  const apart: readonly (readonly [Style, Style])[] = [
    ['here', 'number'],
    ['rail-on', 'rail'],
    ['tune-on', 'plain'],
    ['warn', 'plain'],
    ['warn', 'number'],
    ['count', 'dim'],
    ['move', 'plain'],
    ['key', 'dim'],
  ];
  const withoutColour = (codes: string): string =>
    codes
      .split(';')
      // A background of its own is a block that is seen without its colour.
      .map((code) => (/^4\d$/.test(code) ? 'block' : /^[39]\d$/.test(code) ? '' : code))
      .filter((code) => code !== '')
      .join(';');

  it.each([
    { colour: true, background: 'dark' },
    { colour: true, background: 'light' },
    { colour: true, background: null },
    { colour: false, background: 'dark' },
  ] as const)('is never said by colour alone: %j', (look) => {
    const theme = themeOf(look);
    for (const [one, other] of apart)
      expect(withoutColour(theme[one]), `${one} and ${other}`).not.toBe(withoutColour(theme[other]));
  });

  it('has no colour at all where none is wanted', () => {
    for (const codes of Object.values(themeOf({ colour: false, background: 'light' })))
      expect(codes).not.toMatch(/\b[34]\d\b/);
  });
});
