import { exit, Stop } from './exit.js';

/** Reads a whole number within limits. */
export function wholeFlag(name: string, text: string, least: number, most: number): number {
  const number = Number(text);
  if (/^\d+$/.test(text) && number >= least && number <= most) return number;
  throw new Stop(exit.call, `--${name} “${text}” is not a whole number from ${least} to ${most}`);
}
