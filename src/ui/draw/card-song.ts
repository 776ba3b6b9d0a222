import { safeText } from '../../base/safe-text.js';
import { feltBeats, meterText } from '../../chart/chart.js';
import { shortTempo } from '../../chart/label.js';
import { usualNeck } from '../../hand/neck-sight.js';
import { handMoment, passView } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import type { Setup } from '../../playback/setup.js';
import { isReady } from '../../playback/transport.js';
import { nextSong, songOf } from '../../setlist/run.js';
import { keyName, withSigns } from '../../theory/key.js';
import { chopsText } from '../state/chops.js';
import type { Model } from '../state/model.js';
import type { SetMode, StandSong } from '../state/modes.js';
import { pulseMs } from '../state/schedule.js';
import { songKey } from '../state/select.js';
import { cardOfPart } from './band/card-part.js';
import { familyLines, familyText, nowLines } from './hand-pane.js';
import { beside, fitLine, fitText, type Line, piece } from './line.js';
import { largeLines, wordLines, wrapWords } from './words.js';

/** From this size on the key is drawn in large letters, and where there are more lines the seconds too. */
const largeColumns = 78;
const largeRows = 22;
const largerRows = 28;

/** The key a song is played in, as it is shown. */
export function keyOf({ look }: Model, song: StandSong): string {
  const name = songKey(song);
  return look.unicode ? withSigns(name) : name;
}

/** The card of a song: what the player looks at before the count, from where the instrument is held. */
export function songLines(model: Model, set: SetMode): Line[] {
  const { performance } = model.session;
  const song = songOf(set.run);
  if (!performance || !song) return [];
  const { columns, rows } = model.size;
  const isLarge = columns >= largeColumns && rows >= largeRows;
  const half = Math.floor(columns / 2);
  const left = [...factLines(model, set, performance.setup, song), [], ...whenLines(model, set)];
  const right = shapeLines(model, performance, isLarge ? half - 2 : Math.min(40, half - 2));
  const title = wordLines(safeText(song.title), columns, 'title').slice(0, 2);
  if (columns < 70) return [...title, ...left.map((line) => fitLine(line, columns)), ...right];
  const count = Math.max(left.length, right.length);
  const both = Array.from({ length: count }, (_, index) =>
    beside(left[index] ?? [], half, right[index] ?? []),
  );
  return [...title, [], ...both];
}

/** Key, tempo with its pulse, who begins, what there is to know. */
function factLines(model: Model, set: SetMode, setup: Setup, song: StandSong): Line[] {
  const { unicode } = model.look;
  const { columns, rows } = model.size;
  const width = columns < 70 ? columns - 4 : Math.floor(columns / 2) - 3;
  const key = unicode ? withSigns(keyName(setup.key)) : keyName(setup.key);
  const tempo = shortTempo({ ...setup.chart.tempo, bpm: setup.bpm }, unicode);
  const isLarge = columns >= largeColumns && rows >= largeRows;
  const keyLines: Line[] = isLarge
    ? largeLines(keyName(setup.key), unicode, 'key')
    : [[piece('  key '), piece(key, 'key')]];
  const [first] = setup.chart.form;
  const who =
    first?.who === 'me' ? 'you kick it off' : first?.who ? `${safeText(first.who)} kicks it off` : null;
  const passes = setup.passes !== null && setup.passes > 1 ? `, ${setup.passes} passes` : '';
  const facts: Line[] = [
    ...keyLines,
    ...(isLarge ? [[]] : []),
    ...elsewhereLines(model, width),
    [
      piece('  '),
      ...pulseLine(model, set, setup),
      piece(`  ${tempo}  ${meterText(setup.chart.meter)}${passes}`),
    ],
    ...(song.singer === null ? [] : [[piece(`  ${safeText(song.singer)} sings`)]]),
    ...(who === null ? [] : [[piece(`  ${who}`)]]),
  ];
  const notes = song.notes === null ? [] : wrapWords(safeText(song.notes), width).slice(0, 4);
  return [...facts, ...notes.map((line): Line => [piece('  '), piece(line, 'cue')])];
}

/** The other keys that the song goes to, as soon as it is arranged. */
function elsewhereLines({ look, session }: Model, width: number): Line[] {
  const others = [...(session.performance?.arrangement?.families?.keys() ?? [])];
  if (others.length === 0 || !isReady(session)) return [];
  const names = others.map((name) => (look.unicode ? withSigns(name) : name));
  return [[piece('  '), piece(fitText(`goes to ${names.join(', ')}`, width), 'key')]];
}

/** The tempo as lights, one a felt beat: it makes no sound. */
function pulseLine(model: Model, set: SetMode, setup: Setup): Line {
  const beats = Math.min(8, feltBeats(setup.chart.meter));
  const ms = pulseMs(setup) ?? 500;
  const now = Math.floor((model.at - set.since) / ms + 1e-6) % beats;
  const [on, off] = model.look.unicode ? ['●', '·'] : ['O', '.'];
  return Array.from({ length: beats }, (_, beat) =>
    piece(beat === now ? `${on} ` : `${off} `, beat === now ? 'count' : 'dim'),
  );
}

/** What comes after the song, always on the same line. */
export function thenLine(model: Model, { run }: SetMode): Line {
  const next = nextSong(run);
  const after = next
    ? `then: ${safeText(next.title)} in ${keyOf(model, next)}${gapText(next)}`
    : 'then: the end of the set';
  return [piece('  '), piece(fitText(after, model.size.columns - 4), 'dim')];
}

/** When it begins. */
function whenLines(model: Model, { run }: SetMode): Line[] {
  if (model.session.performance?.tuning) return [[piece('  tuning; u stops it', 'count')]];
  const chops = chopsText(model);
  if (run.until === null)
    return [
      [piece(`  ${chops === '' ? 'Space or the pedal' : `Space, the pedal or ${chops}`} begins`, 'count')],
    ];
  const seconds = Math.max(0, Math.ceil((run.until - model.at) / 1000));
  const isLarge = model.size.columns >= largeColumns && model.size.rows >= largerRows;
  if (!isLarge) return [[piece('  begins in '), piece(String(seconds), 'count')]];
  return [[piece('  begins in', 'dim')], ...largeLines(String(seconds), model.look.unicode, 'count')];
}

function gapText({ gap, breakBefore }: StandSong): string {
  if (breakBefore > 0) return `, after a break of ${breakBefore} minutes`;
  return gap === 'wait' || gap === 0 ? '' : `, after ${gap} s`;
}

/** The family of the key, and the shape the song begins with. */
function shapeLines(model: Model, performance: Performance, width: number): Line[] {
  const { look, session } = model;
  const view = passView(performance);
  // A leader with another instrument has no use for shapes.
  const own = cardOfPart(model, performance, view, width);
  if (own) return own;
  const { arrangement, setup } = performance;
  if (!view || !arrangement || !isReady(session)) return [[piece('the hand is being planned', 'dim')]];
  const { unicode } = look;
  const name = keyName(arrangement.key);
  const { now } = handMoment(view, 0, 0, null);
  const shape = nowLines(
    {
      instrument: setup.instrument,
      now,
      next: null,
      beatsLeft: null,
      span: null,
      after: null,
      hard: false,
      running: false,
      unicode,
      sight: look.neck ?? usualNeck,
      names: 'both',
      shown: true,
    },
    width,
    'first',
  );
  const family = familyLines(familyText(arrangement.family, unicode ? withSigns(name) : name), width);
  return [...shape, ...family.map((line): Line => [piece(line, 'dim')])];
}
