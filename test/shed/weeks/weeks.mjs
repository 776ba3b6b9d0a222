// Weeks of practice in virtual time: what is prescribed day by day, and what comes of it.

import { mandolin } from '../../../dist/hand/instrument.js';
import { dayAfter, dayKind } from '../../../dist/shed/day-kind.js';
import { noMarks, pathState } from '../../../dist/shed/path-state.js';
import { sitting } from '../../../dist/shed/today.js';
import { playSitting, sleep } from './player-model.mjs';

/**
 * Days of practice one after the other, each planned from the diary as it then is.
 *
 * @param wishes the player, the first day (ms since 1970), how many days, minutes a day, charts, marks, the day of a set
 * @returns for each day its kind, its items, what came of each, the minutes it took, and where on the path it ended
 */
export function weeks({
  player,
  from,
  days,
  minutes,
  charts = [],
  marks = noMarks,
  setDay = null,
  entries: before = [],
}) {
  const entries = [...before];
  const told = [];
  for (let day = 0; day < days; day += 1) {
    const now = dayAfter(from, day);
    const kind = dayKind(entries, now, setDay);
    const wishes = { entries, marks, charts, minutes, now, instrument: mandolin, plan: {}, target: 1 };
    const items = sitting(wishes, kind);
    const played = playSitting(player, items, now);
    entries.push(...played.entries);
    sleep(player);
    told.push({
      now,
      kind,
      items,
      came: played.told,
      took: played.minutes,
      state: pathState(entries, marks),
    });
  }
  return { days: told, entries };
}
