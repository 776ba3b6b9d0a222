import { safeText } from '../base/safe-text.js';
import { mandolin } from '../hand/instrument.js';
import type { SittingWishes } from '../shed/wanted.js';
import { exit, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { loadGood } from './load.js';
import { planOf, settingsOf } from './settings.js';
import { diaryOf, markedCharts, pathMarks, practiceCharts, whoFlag } from './shed-common.js';

/** What practice is planned from, as flags have it. */
export interface WishFlags {
  readonly minutes?: number;
  readonly set?: string;
  readonly on?: string;
  readonly who?: string;
}

/** What a sitting now is planned from: a player's diary, path, charts and settings. */
export function wishesAt(flags: WishFlags, now: number): SittingWishes {
  const who = whoFlag(flags.who);
  const settings = settingsOf(who);
  const known = practiceCharts(flags.set);
  const { entries } = diaryOf(who);
  const charts = [...known, ...markedCharts(entries, known)];
  return {
    entries,
    marks: pathMarks(who),
    charts,
    minutes: flags.minutes ?? 20,
    now,
    instrument: charts[0] ? instrumentOf(charts[0].chart) : mandolin,
    plan: planOf(settings),
    target: settings.target,
  };
}

/** The day of the next set: what `--on` says, else the set's own date where it is one; ms since 1970, `null` for none. */
export function setDayOf({ set, on }: Pick<WishFlags, 'set' | 'on'>): number | null {
  if (on !== undefined) return dateFlag('on', on);
  if (set === undefined) return null;
  const content = loadGood(set);
  return content.kind === 'set' && content.set.date !== null ? noonOf(content.set.date) : null;
}

/** Reads a flag that is a date: noon of it, ms since 1970. */
export function dateFlag(name: string, text: string): number {
  const at = noonOf(text);
  if (at !== null) return at;
  throw new Stop(exit.call, `--${name} “${safeText(text)}” is not a date`, `write --${name} 2026-11-28`);
}

function noonOf(text: string): number | null {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return null;
  const at = new Date(`${text}T12:00:00`);
  // A day that its month does not have becomes one of the next month.
  return !Number.isNaN(at.getTime()) && at.getDate() === Number(text.slice(8)) ? at.getTime() : null;
}
