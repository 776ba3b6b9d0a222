import type { Look } from '../state/look.js';
import type { Style } from './line.js';

/** For each style the parameters of the terminal's sequence for it (SGR, ECMA-48 8.3.117); empty for plain text. */
export type Theme = Readonly<Record<Style, string>>;

/*
 * Weight, slant and inversion carry what matters, so that it is there without colour too. Of colours only the sixteen that
 * the terminal's own theme defines are used, and of those the ones that have a contrast of at least 4.5 : 1 on their
 * background whether or not the terminal makes bold text bright: test/ui/draw/contrast.test.ts computes it. A fault has
 * its own background, so that it can be read on any.
 */

/** Where nothing is known of the background: no colour but a fault's. */
const anywhere: Theme = {
  plain: '',
  dim: '2',
  title: '1',
  number: '1',
  chord: '',
  here: '1;7',
  rail: '2',
  cue: '3',
  'rail-on': '1',
  'tune-on': '1;7',
  finger: '1',
  move: '1;4',
  count: '1',
  warn: '1;37;41',
  key: '1',
};

const onDark: Theme = {
  ...anywhere,
  chord: '36',
  cue: '3;32',
  'rail-on': '1;33',
  'tune-on': '1;7;33',
  finger: '1;36',
  move: '1;33',
  count: '1;33',
};

/** Of the sixteen only black, blue and dark red can be read on white, and red is what a fault has. */
const onLight: Theme = { ...anywhere, chord: '34', cue: '3;34', move: '1;4' };

const uncoloured: Theme = { ...anywhere, warn: '1;7' };

/** The styles of a screen that looks so. */
export function themeOf({ colour, background }: Pick<Look, 'colour' | 'background'>): Theme {
  if (!colour) return uncoloured;
  return background === 'dark' ? onDark : background === 'light' ? onLight : anywhere;
}
