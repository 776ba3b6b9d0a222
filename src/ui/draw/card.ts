import { safeText } from '../../base/safe-text.js';
import { feltBeats, meterText } from '../../chart/chart.js';
import { shortTempo } from '../../chart/label.js';
import { nextSong, secondsFrom, songOf } from '../../setlist/run.js';
import { clockText } from '../../setlist/running-order.js';
import { keyName, withSigns } from '../../theory/key.js';
import type { Binding } from '../keymap.js';
import type { BrokenRun, Model, SetRun, Stand, StandSong } from '../model.js';
import { handMoment, passView } from '../pass-view.js';
import { isReady } from '../update/arranging.js';
import { pulseMs, songKey } from '../update/run.js';
import { bigText } from './big-text.js';
import { footLine } from './foot.js';
import { familyText, nowLines, wrapWords } from './hand-pane.js';
import { beside, fitLine, fitText, type Line, lineWidth, piece, type Style } from './line.js';
import { usualSight } from './neck.js';
import { entryLine } from './notice.js';

/** From this size on the key is drawn in large letters, and where there are more lines the seconds too. */
const largeColumns = 78;
const largeRows = 22;
const largerRows = 28;

/** What a set shows between its songs: what is wrong with it, a break's clock, the card of the next song, or the end. */
export function cardLines(model: Model, set: SetRun): Line[] {
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
  if (model.entry) return entryLine(model, model.entry, model.size.columns);
  return [piece(' '), piece(fitText(safeText(model.notice), model.size.columns - 2), 'warn')];
}

/** Set, place in it, and how much of it is left. */
function placeLine({ size }: Model, { run }: SetRun): Line {
  const left = secondsFrom(run.songs, run.at);
  const place =
    run.phase === 'over' ? 'over' : `${Math.min(run.at + 1, run.songs.length)} of ${run.songs.length}`;
  const right = run.phase === 'over' ? place : `${place}   ${clockText(left)} to go`;
  const title = fitText(safeText(run.title), Math.max(8, size.columns - right.length - 5));
  const gap = size.columns - 2 - title.length - right.length;
  return [piece(' '), piece(title, 'title'), piece(' '.repeat(Math.max(2, gap))), piece(right, 'dim')];
}

function bodyOf(model: Model, set: SetRun): Line[] {
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

function words(model: Model, text: string, style: Style = 'plain'): Line[] {
  return wrapWords(text, model.size.columns - 4).map((line): Line => [piece('  '), piece(line, style)]);
}

function large(model: Model, text: string, style: Style): Line[] {
  return bigText(text, { scale: 2, unicode: model.look.unicode }).map(
    (line): Line => [piece('  '), piece(line, style)],
  );
}

function faultLines(model: Model, { faults, run }: SetRun): Line[] {
  const room = Math.max(1, model.size.rows - 10);
  const told = faults.slice(0, room).flatMap((fault) => words(model, fault, 'warn').slice(0, 2));
  const more =
    faults.length > room
      ? words(model, `and ${faults.length - room} more: barkline check tells them all`)
      : [];
  const good = run.songs.filter(({ problem }) => problem === null).length;
  return [
    ...words(model, 'Something is wrong with this set:', 'title'),
    [],
    ...told,
    ...more,
    [],
    ...words(
      model,
      good === 0
        ? 'No song of it can be played.'
        : `${good} of ${run.songs.length} songs can be played. Space goes on without the others; Esc leaves, to mend it first.`,
    ),
  ];
}

/** A run of the set was broken off: it is taken up again only if somebody wants it, and forgotten only then. */
function brokenLines(model: Model, { song, of, title }: BrokenRun): Line[] {
  return [
    ...words(model, `This set was broken off at song ${song} of ${of}: ${safeText(title)}.`, 'title'),
    [],
    ...words(model, 'Space or the pedal takes it up there. d begins anew, and forgets where it was.'),
    ...words(model, 'Esc leaves everything as it is.', 'dim'),
  ];
}

function breakLines(model: Model, { run }: SetRun): Line[] {
  const left = Math.max(0, Math.ceil(((run.until ?? model.at) - model.at) / 1000));
  const song = songOf(run);
  return [
    ...words(model, 'Break', 'title'),
    [],
    ...large(model, clockText(left), 'count'),
    [],
    ...(song ? words(model, `then: ${safeText(song.title)} in ${keyOf(model, song)}`) : []),
    ...words(model, 'Let the hands hang, open and close them.', 'dim'),
  ];
}

function overLines(model: Model, { run, marks }: SetRun): Line[] {
  const whole = run.played.filter((song) => song.whole).length;
  const music = run.played.reduce((sum, { began, ended }) => sum + ended - began, 0) / 1000;
  const parts = run.played.length - whole;
  const told = `${whole} ${whole === 1 ? 'song' : 'songs'} played${parts > 0 ? `, ${parts} in part` : ''}, ${clockText(music)} of music`;
  const later = `${marks} ${marks === 1 ? 'place is' : 'places are'} marked to be looked at later: barkline shed today has them`;
  return [
    ...words(model, 'That was the set.', 'title'),
    [],
    ...words(model, told),
    ...(marks > 0 ? words(model, later) : []),
    [],
    ...words(model, 'Let the hands hang for a while. Space or Esc leaves; g adds a song to it.', 'dim'),
  ];
}

function keyOf({ look }: Model, song: StandSong): string {
  const name = songKey(song);
  return look.unicode ? withSigns(name) : name;
}

/** The card of a song: what the player looks at before the count, from where the instrument is held. */
function songLines(model: Model, set: SetRun): Line[] {
  const { stand } = model;
  const song = songOf(set.run);
  if (!stand || !song) return [];
  const { columns, rows } = model.size;
  const isLarge = columns >= largeColumns && rows >= largeRows;
  const half = Math.floor(columns / 2);
  const left = [...factLines(model, set, stand, song), [], ...whenLines(model, set)];
  const right = shapeLines(model, stand, isLarge ? half - 2 : Math.min(40, half - 2));
  const title = words(model, safeText(song.title), 'title').slice(0, 2);
  if (columns < 70) return [...title, ...left.map((line) => fitLine(line, columns)), ...right];
  const count = Math.max(left.length, right.length);
  const both = Array.from({ length: count }, (_, index) =>
    beside(left[index] ?? [], half, right[index] ?? []),
  );
  return [...title, [], ...both];
}

/** Key, tempo with its pulse, who begins, what there is to know. */
function factLines(model: Model, set: SetRun, stand: Stand, song: StandSong): Line[] {
  const { unicode } = model.look;
  const { columns, rows } = model.size;
  const width = columns < 70 ? columns - 4 : Math.floor(columns / 2) - 3;
  const key = unicode ? withSigns(keyName(stand.key)) : keyName(stand.key);
  const tempo = shortTempo({ ...stand.chart.tempo, bpm: stand.bpm }, unicode);
  const isLarge = columns >= largeColumns && rows >= largeRows;
  const keyLines: Line[] = isLarge
    ? bigText(keyName(stand.key), { scale: 2, unicode }).map(
        (line): Line => [piece('  '), piece(line, 'key')],
      )
    : [[piece('  key '), piece(key, 'key')]];
  const [first] = stand.chart.form;
  const who =
    first?.who === 'me' ? 'you kick it off' : first?.who ? `${safeText(first.who)} kicks it off` : null;
  const passes = stand.passes !== null && stand.passes > 1 ? `, ${stand.passes} passes` : '';
  const facts: Line[] = [
    ...keyLines,
    ...(isLarge ? [[]] : []),
    [
      piece('  '),
      ...pulseLine(model, set, stand),
      piece(`  ${tempo}  ${meterText(stand.chart.meter)}${passes}`),
    ],
    ...(song.singer === null ? [] : [[piece(`  ${safeText(song.singer)} sings`)]]),
    ...(who === null ? [] : [[piece(`  ${who}`)]]),
  ];
  const notes = song.notes === null ? [] : wrapWords(safeText(song.notes), width).slice(0, 4);
  return [...facts, ...notes.map((line): Line => [piece('  '), piece(line, 'cue')])];
}

/** The tempo as lights, one a felt beat: it makes no sound. */
function pulseLine(model: Model, set: SetRun, stand: Stand): Line {
  const beats = Math.min(8, feltBeats(stand.chart.meter));
  const ms = pulseMs(stand) ?? 500;
  const now = Math.floor((model.at - set.since) / ms + 1e-6) % beats;
  const [on, off] = model.look.unicode ? ['●', '·'] : ['O', '.'];
  return Array.from({ length: beats }, (_, beat) =>
    piece(beat === now ? `${on} ` : `${off} `, beat === now ? 'count' : 'dim'),
  );
}

/** What comes after the song, always on the same line. */
function thenLine(model: Model, { run }: SetRun): Line {
  const next = nextSong(run);
  const after = next
    ? `then: ${safeText(next.title)} in ${keyOf(model, next)}${gapText(next)}`
    : 'then: the end of the set';
  return [piece('  '), piece(fitText(after, model.size.columns - 4), 'dim')];
}

/** When it begins. */
function whenLines(model: Model, { run }: SetRun): Line[] {
  if (model.stand?.tuning) return [[piece('  tuning; u stops it', 'count')]];
  if (run.until === null) return [[piece('  Space or the pedal begins', 'count')]];
  const seconds = Math.max(0, Math.ceil((run.until - model.at) / 1000));
  const isLarge = model.size.columns >= largeColumns && model.size.rows >= largerRows;
  if (!isLarge) return [[piece('  begins in '), piece(String(seconds), 'count')]];
  const figures = bigText(String(seconds), { scale: 2, unicode: model.look.unicode });
  return [[piece('  begins in', 'dim')], ...figures.map((line): Line => [piece('  '), piece(line, 'count')])];
}

function gapText({ gap, breakBefore }: StandSong): string {
  if (breakBefore > 0) return `, after a break of ${breakBefore} minutes`;
  return gap === 'wait' || gap === 0 ? '' : `, after ${gap} s`;
}

/** The family of the key, and the shape the song begins with. */
function shapeLines(model: Model, stand: Stand, width: number): Line[] {
  const view = passView(stand);
  const { arrangement } = stand;
  if (!view || !arrangement || !isReady(model)) return [[piece('the hand is being planned', 'dim')]];
  const { unicode } = model.look;
  const name = keyName(arrangement.key);
  const { now } = handMoment(view, 0, 0, null);
  const shape = nowLines(
    {
      instrument: stand.instrument,
      now,
      next: null,
      beatsLeft: null,
      after: null,
      hard: false,
      running: false,
      unicode,
      sight: model.look.neck ?? usualSight,
      names: 'both',
      shown: true,
    },
    width,
  );
  const family = wrapWords(familyText(arrangement.family, unicode ? withSigns(name) : name), width);
  return [[piece('first', 'dim')], ...shape, ...family.map((line): Line => [piece(line, 'dim')])];
}

function footOf(model: Model, { run, broken }: SetRun): Line {
  const { columns } = model.size;
  if (broken) return [piece(' Space takes it up   d begins anew   Esc leaves', 'dim')];
  if (run.phase === 'faults') return [piece(' Space goes on   Esc leaves', 'dim')];
  if (run.phase === 'over') return [piece(' Space leaves   g order   r again', 'dim')];
  const own = model.bindings.filter(isOwn);
  const line = footLine(own, columns, model.look.unicode, 'card');
  return lineWidth(line) <= columns ? line : fitLine(line, columns);
}

function isOwn({ places }: Binding): boolean {
  return places.includes('card');
}
