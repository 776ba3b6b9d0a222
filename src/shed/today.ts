import { type DayKind, dayKind } from './day-kind.js';
import { dayThings } from './day-things.js';
import { tunesOf } from './ear-things.js';
import { stepNamed } from './path-steps.js';
import { minutesOf, restItem, type SittingItem } from './sitting-item.js';
import { drillOfTask, type TaskSources } from './task-drill.js';
import type { SittingWishes, Wanted } from './wanted.js';
import { warmUp } from './warm-up.js';
import { passMinutes } from './way-drill.js';
import { dayNumber, setSongs, wholeSongs } from './whole-songs.js';

export type { SittingWishes } from './wanted.js';

/** Blocks of a sitting at most: of the longest one there can be. */
const mostBlocks = 90;
/** Blocks between two rests. */
const blocksToRest = 3;
/** The day of a set and the day after it are short, minutes. */
const mostRoundSet = 12;

/** How the minutes of a sitting are shared out. */
interface Shares {
  readonly warm: number;
  readonly close: number;
  readonly block: number;
}

/**
 * Plans a sitting: a warm-up; what the day is for, in turns rather than one after the other (alternating is retained better in some
 * studies: Carter and Grahn 2016), with rests between; and at the end something whole. It never takes longer than it may. A day of
 * rest has nothing.
 */
export function sitting(
  wishes: SittingWishes,
  kind: DayKind = dayKind(wishes.entries, wishes.now, null),
): readonly SittingItem[] {
  if (kind === 'rest') return [];
  const minutes =
    kind === 'stage' || kind === 'after' ? Math.min(wishes.minutes, mostRoundSet) : wishes.minutes;
  if (kind === 'songs' || kind === 'run') return songsOnly(wishes, minutes, kind);
  const shares = sharesOf(minutes);
  const items: SittingItem[] = [...made([warmUp(wishes)], shares.warm, wishes)];
  const roomFor = (more: readonly SittingItem[]): boolean =>
    minutesOf([...items, ...more]) + shares.close <= minutes;
  for (const [block, thing] of dayThings(wishes, kind, mostBlocks).entries()) {
    const rest = block > 0 && block % blocksToRest === 0 ? [restItem] : [];
    const next = [...rest, ...made([thing], minutesFor(thing, shares), wishes, block)];
    if (!roomFor(next)) break;
    items.push(...next);
  }
  const left = minutes - minutesOf(items);
  const [last] = wholeSongs(wishes, left);
  return last ? [...items, ...made([last], Math.min(shares.close + 1, Math.floor(left)), wishes)] : items;
}

/** A step gets a minute more than the rest, a song two: its tempo has to climb. */
function minutesFor({ task }: Wanted, { block }: Shares): number {
  if (task.kind !== 'step' || task.way !== null || block === 1) return block;
  return stepNamed(task.step)?.kind === 'song' ? block + 2 : block + 1;
}

/** Minutes of warm-up, blocks and end. */
function sharesOf(minutes: number): Shares {
  return {
    warm: minutes < 10 ? 1 : 2,
    close: minutes < 15 ? 2 : minutes < 30 ? 3 : 5,
    block: minutes < 8 ? 1 : 2,
  };
}

/** A warm-up and whole songs, with rests between; the last one is whole. */
function songsOnly(wishes: SittingWishes, minutes: number, kind: DayKind): readonly SittingItem[] {
  const { warm, close } = sharesOf(minutes);
  const items: SittingItem[] = [...made([warmUp(wishes)], warm, wishes)];
  songsFor(wishes, minutes, kind).forEach((song, index) => {
    const rest = index > 0 && index % 3 === 0 ? [restItem] : [];
    const left = minutes - minutesOf([...items, ...rest]);
    const next = made([song], Math.floor(Math.min(close, left)), wishes);
    // What does not fit any more is for another day.
    if (next.length > 0 && minutesOf(next) <= left) items.push(...rest, ...next);
  });
  // The time that is left may be enough for another way, but not for the song after it.
  while (items.length > 1 && !isSong(items.at(-1))) items.pop();
  return items;
}

function isSong(item: SittingItem | undefined): boolean {
  return item?.kind === 'drill' && item.drill.kind === 'song';
}

/** The songs of such a day in their order; a player who knows only one or two plays them in other ways between. */
function songsFor(wishes: SittingWishes, minutes: number, kind: DayKind): readonly Wanted[] {
  const songs = kind === 'run' ? setSongs(wishes) : wholeSongs(wishes, Math.max(2, minutes / 3));
  const [one, two] = songs;
  if (kind === 'run' || !one || songs.length > 2) return songs;
  return two ? [one, two, inWay(one, 'order'), two, one] : [one, inWay(one, 'gaps'), one];
}

function inWay(song: Wanted, way: 'gaps' | 'order'): Wanted {
  const { task } = song;
  if (task.kind === 'step' || task.kind === 'chords' || task.kind === 'ear') return song;
  const why = 'the same song in another way, before you play the whole of it again';
  return { ...song, task: { ...task, way }, why, id: `${song.id} ${way}` };
}

/** Things as items of this many minutes, songs of as many as their whole passes take; what cannot be made is left out. */
function made(things: readonly Wanted[], minutes: number, wishes: SittingWishes, place = 0): SittingItem[] {
  if (minutes < 1) return [];
  const sources: TaskSources = {
    chartOf: (file) =>
      wishes.charts.find((one) => one.file === file || one.chart.title === file)?.chart ?? null,
    seed: dayNumber(wishes) * 100 + place + 1,
    hand: { instrument: wishes.instrument, plan: wishes.plan },
    ear: { entries: wishes.entries, now: wishes.now, tunes: tunesOf(wishes) },
  };
  return things.flatMap((thing): SittingItem[] => {
    const drill = drillOfTask({ ...thing, minutes }, sources);
    if (!drill) return [];
    const { passes, share } = drill.start;
    // Phrases that are named by ear follow each other as long as there is time.
    const music =
      passes === undefined || drill.dictation ? minutes : passes * passMinutes(drill.chart, share);
    return [{ kind: 'drill', drill, minutes: Math.ceil(2 * music) / 2, why: thing.why, task: thing.task }];
  });
}
