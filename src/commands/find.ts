import { jsonText } from '../base/json.js';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import { textWidth } from '../base/text-width.js';
import { meterText } from '../chart/chart.js';
import { type Asked, asked, askedText } from '../chart/find/asked.js';
import { type Findable, findable, finder } from '../chart/find/find-songs.js';
import { type SongOrder, sortSongs } from '../chart/find/sort-songs.js';
import { shortTempo } from '../chart/label.js';
import { dayOf } from '../shed/summary.js';
import { weakSongs } from '../shed/weak-songs.js';
import { keyName } from '../theory/key.js';
import { exit, print, printDocument, Stop, say } from './exit.js';
import { collectSongs, type FoundSong } from './find-collect.js';
import { recentPractice, whoFlag } from './shed-common.js';

/** The options of `find`. */
export interface FindFlags {
  readonly in?: string;
  readonly sort: SongOrder;
  readonly who?: string;
  readonly files?: boolean;
  readonly json?: boolean;
}

/** Columns of the longest title that is shown whole. */
const titleRoom = 40;
/** The shortest word for which another one is suggested, characters. */
const leastWord = 3;

/** Prints the charts that have all that the words ask for; 1 where there is none. */
export function find(words: readonly string[], flags: FindFlags): number {
  const who = whoFlag(flags.who);
  const readsDiary = flags.sort === 'weakest' || flags.json === true;
  const weak = readsDiary ? weakSongs(recentPractice(who)) : new Map();
  const { songs, faulty } = collectSongs(flags.in, weak);
  const query = words.join(' ');
  const fitOf = finder(query);
  const searched = songs.map((song) => ({ song, text: findable(song.facts, nameOf(song.file)) }));
  const found = searched.filter(({ text }) => fitOf(text) !== null).map(({ song }) => song);
  const sorted = sortSongs(found, flags.sort);
  if (faulty > 0)
    say(`${faulty} ${faulty === 1 ? 'file' : 'files'} could not be read; barkline check FILE says why`);
  if (flags.json)
    printDocument(
      jsonText({ asked: asked(query).map((one) => askedText([one])), songs: sorted.map(songJson) }, 2),
    );
  else if (flags.files) for (const { file } of sorted) print(file);
  else if (sorted.length > 0) print(...linesOf(sorted, flags.sort));
  if (sorted.length > 0 || flags.json) return sorted.length > 0 ? exit.done : exit.input;
  throw new Stop(
    exit.input,
    ...nothingText(
      asked(query),
      searched.map(({ text }) => text),
    ),
  );
}

function nothingText(all: readonly Asked[], texts: readonly Findable[]): [what: string, instead: string] {
  if (all.length === 0) return ['there is no chart', 'a chart is a .yaml file; barkline new writes one'];
  const what = all.length === 1 ? `no chart has ${askedText(all)}` : `no chart has all of: ${askedText(all)}`;
  const words = texts.flatMap(({ plain }) => plain.split(/[^\p{L}\p{N}#']+/u));
  const known = [...new Set(words)].filter((word) => word.length >= leastWord);
  const near = all.flatMap((one) =>
    one.kind === 'word' &&
    one.word.length >= leastWord &&
    !texts.some(({ plain }) => plain.includes(one.word))
      ? didYouMean(one.word, known)
      : [],
  );
  return [`${what}${near[0] ?? ''}`, 'fewer words find more; barkline find alone lists all'];
}

function linesOf(songs: readonly FoundSong[], order: SongOrder): readonly string[] {
  const widest = songs.reduce((most, { title }) => Math.max(most, textWidth(safeText(title))), 0);
  const room = Math.min(titleRoom, widest);
  return songs.map((song) => {
    const { key, tempo, meter } = song.facts;
    const title = safeText(song.title);
    const cells = [keyName(key).padEnd(3), shortTempo(tempo, false).padEnd(12), meterText(meter).padEnd(4)];
    const padded = title + ' '.repeat(Math.max(0, room - textWidth(title)));
    return [padded, ...cells, moreText(song, order), song.file].filter((one) => one !== '').join('  ');
  });
}

/** What the songs are sorted by, unless it is key, tempo or meter; then the tags. */
function moreText({ played, weak, facts }: FoundSong, order: SongOrder): string {
  if (order === 'played') return (played > 0 ? dayOf(played) : 'never').padEnd(10);
  if (order === 'weakest') return (weak ? `${weak.missed} of ${weak.of} missed` : 'not marked').padEnd(15);
  return facts.tags.join(', ');
}

/** A chart in the document of `find --json`. `played` is the time in UTC, or `null`; `weak` counts its last marks, or is `null`. */
function songJson({ file, facts, played, weak }: FoundSong): object {
  const { title, by, key, tempo, meter, tags } = facts;
  return {
    file,
    title,
    by,
    key: keyName(key),
    tempo: tempo.bpm,
    tempoCounts: tempo.count,
    meter: meterText(meter),
    tags,
    played: played > 0 ? new Date(played).toISOString() : null,
    weak,
  };
}

function nameOf(file: string): string {
  return file.split(/[\\/]/).at(-1) ?? '';
}
