import type { DayKind } from '../../../src/shed/day-kind.js';
import type { DiaryEntry } from '../../../src/shed/diary.js';
import type { PathMarks, PathState } from '../../../src/shed/path-state.js';
import type { SittingItem } from '../../../src/shed/sitting-item.js';
import type { PracticeChart } from '../../../src/shed/wanted.js';
import type { Player } from './player-model.mjs';

/** A day that was practised. */
export interface PractisedDay {
  readonly now: number;
  readonly kind: DayKind;
  readonly items: readonly SittingItem[];
  readonly came: readonly string[];
  readonly took: number;
  readonly state: PathState;
}

/** Days of practice one after the other, each planned from the diary as it then is. */
export function weeks(wishes: {
  readonly player: Player;
  readonly from: number;
  readonly days: number;
  readonly minutes: number;
  readonly charts?: readonly PracticeChart[];
  readonly marks?: PathMarks;
  readonly setDay?: number | null;
  readonly entries?: readonly DiaryEntry[];
}): { readonly days: readonly PractisedDay[]; readonly entries: readonly DiaryEntry[] };
