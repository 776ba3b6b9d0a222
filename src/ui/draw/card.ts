import { safeText } from '../../base/safe-text.js';
import { secondsFrom, songOf } from '../../setlist/run.js';
import { clockText } from '../../setlist/running-order.js';
import type { Model } from '../state/model.js';
import type { BrokenRun, SetMode } from '../state/modes.js';
import { overlayOf } from '../state/select.js';
import { keyOf, songLines, thenLine } from './card-song.js';
import { footLine } from './foot.js';
import { hearsWord } from './hears.js';
import { fitLine, fitText, type Line, piece } from './line.js';
import { namedKeys } from './named-keys.js';
import { noticeStyle, typedLine } from './notice.js';
import { largeLines, wordLines } from './words.js';

/** What a set shows between its songs: what is wrong with it, a break's clock, the card of the next song, or the end. */
export function cardLines(model: Model, set: SetMode): Line[] {
  const { columns, rows } = model.size;
  const height = rows - 1;
  const head: Line[] = [placeLine(model, set), []];
  const body = bodyOf(model, set);
  const last = set.run.phase === 'card' ? [thenLine(model, set)] : [];
  const room = height - head.length - 2 - last.length;
  const shown = body.slice(0, room);
  while (shown.length < room) shown.push([]);
  return [...head, ...shown, ...last, noticeOf(model), footOf(model, set)].map((line) =>
    fitLine(line, columns),
  );
}

function noticeOf(model: Model): Line {
  const typed = overlayOf(model, 'line');
  if (typed) return typedLine(model, typed, model.size.columns);
  return [piece(' '), piece(fitText(safeText(model.notice), model.size.columns - 2), noticeStyle(model))];
}

/** Set, place in it, and how much of it is left. */
function placeLine({ size, ear }: Model, { run }: SetMode): Line {
  const left = secondsFrom(run.songs, run.at);
  const place =
    run.phase === 'over' ? 'over' : `${Math.min(run.at + 1, run.songs.length)} of ${run.songs.length}`;
  const hears = hearsWord(ear);
  const right = [hears, run.phase === 'over' ? place : `${place}   ${clockText(left)} to go`]
    .filter((one) => one !== '')
    .join('   ');
  const title = fitText(safeText(run.title), Math.max(8, size.columns - right.length - 5));
  const gap = size.columns - 2 - title.length - right.length;
  return [piece(' '), piece(title, 'title'), piece(' '.repeat(Math.max(2, gap))), piece(right, 'dim')];
}

function bodyOf(model: Model, set: SetMode): Line[] {
  if (set.broken) return brokenLines(model, set.broken);
  switch (set.run.phase) {
    case 'faults':
      return faultLines(model, set);
    case 'break':
      return breakLines(model, set);
    case 'over':
      return overLines(model, set);
    default:
      return songLines(model, set);
  }
}

/** A run of the set was stopped: it is resumed only if somebody wants it, and forgotten only then. */
function brokenLines({ size: { columns } }: Model, { song, of, title }: BrokenRun): Line[] {
  const about = `This set was stopped at song ${song} of ${of}: ${safeText(title)}.`;
  const keys = 'Space or the pedal resumes there. d starts over, and forgets where it was.';
  return [
    ...wordLines(about, columns, 'title'),
    [],
    ...wordLines(keys, columns),
    ...wordLines('Esc leaves everything as it is.', columns, 'dim'),
  ];
}

function faultLines({ size: { columns, rows } }: Model, { faults, run }: SetMode): Line[] {
  const room = Math.max(1, rows - 10);
  const faultTexts = faults.slice(0, room).flatMap((fault) => wordLines(fault, columns, 'warn').slice(0, 2));
  const more =
    faults.length > room
      ? wordLines(`and ${faults.length - room} more: barkline check shows them all`, columns)
      : [];
  const good = run.songs.filter(({ problem }) => problem === null).length;
  return [
    ...wordLines('Something is wrong with this set:', columns, 'title'),
    [],
    ...faultTexts,
    ...more,
    [],
    ...wordLines(
      good === 0
        ? 'No song of it can be played.'
        : `${good} of ${run.songs.length} songs can be played. Space goes on without the others; Esc leaves, so you can mend it first.`,
      columns,
    ),
  ];
}

function breakLines(model: Model, { run }: SetMode): Line[] {
  const { columns } = model.size;
  const left = Math.max(0, Math.ceil(((run.until ?? model.at) - model.at) / 1000));
  const song = songOf(run);
  return [
    ...wordLines('Break', columns, 'title'),
    [],
    ...largeLines(clockText(left), model.look.unicode, 'count'),
    [],
    ...(song ? wordLines(`then: ${safeText(song.title)} in ${keyOf(model, song)}`, columns) : []),
    ...wordLines('Let the hands hang, open and close them.', columns, 'dim'),
  ];
}

function overLines({ size: { columns } }: Model, { run, marks, heard }: SetMode): Line[] {
  const whole = run.played.filter((song) => song.whole).length;
  const music = run.played.reduce((sum, { began, ended }) => sum + ended - began, 0) / 1000;
  const parts = run.played.length - whole;
  const summary = `${whole} ${whole === 1 ? 'song' : 'songs'} played${parts > 0 ? `, ${parts} in part` : ''}, ${clockText(music)} of music`;
  const later = `${marks} ${marks === 1 ? 'place is' : 'places are'} marked to be looked at later: barkline shed today has them`;
  const { count } = heard;
  const byEar = `${count} ${count === 1 ? 'place' : 'places'} where a change came late or another chord was heard ${count === 1 ? 'is' : 'are'} marked to be looked at later`;
  return [
    ...wordLines('That was the set.', columns, 'title'),
    [],
    ...wordLines(summary, columns),
    ...(marks > 0 ? wordLines(later, columns) : []),
    ...(count > 0 ? wordLines(byEar, columns) : []),
    [],
    ...wordLines('Let the hands hang for a while. Space or Esc leaves; g adds a song to it.', columns, 'dim'),
  ];
}

function footOf({ size, look, bindings }: Model, { run, broken }: SetMode): Line {
  if (broken) return namedKeys(' Space resumes   d starts over   Esc leaves');
  if (run.phase === 'faults') return namedKeys(' Space goes on   Esc leaves');
  if (run.phase === 'over') return namedKeys(' Space leaves   g order   r again');
  return footLine(bindings, size.columns, look.unicode, 'card');
}
