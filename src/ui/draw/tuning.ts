import { safeText } from '../../base/safe-text.js';
import { courseNames } from '../../hand/course-names.js';
import type { Model } from '../state/model.js';
import type { TunedCourse, TuningOverlay } from '../state/overlays.js';
import { allText, inTune, isInTune, tuningText } from '../state/tuning.js';
import { bigHeight, bigText, fitScale } from './big-text.js';
import { fillLines, fitText, type Line, piece, type Style } from './line.js';
import { namedKeys } from './named-keys.js';

/** The widest that is in large letters: a course and how far it is off. */
const widest = 'A♭ -150';
/** The needle goes from this many cents flat to as many sharp. */
const mostCents = 50;
/** Columns on each side of the needle's middle at most. */
const mostSide = 40;

/** Tuning by ear: the course that was struck last in large letters, to be read across a room, and all courses with what was heard of them. */
export function tuningLines(model: Model, overlay: TuningOverlay): Line[] {
  const { columns, rows } = model.size;
  const { unicode } = model.look;
  const instrument = model.session.performance?.setup.instrument;
  const names = instrument ? courseNames(instrument) : [];
  const list = names.map((name, index) => courseLine(name, index, names, overlay, unicode));
  const said = [allText(overlay.courses), overlay.remark].filter((text) => text !== '');
  const foot = namedKeys(
    fitText(' Space sounds this course   u done   L listen or not   Esc back', columns - 1),
  );
  const below: Line[] = [
    ...list,
    [],
    ...said.map((text): Line => [piece(`  ${fitText(text, columns - 3)}`)]),
  ];
  const head: Line[] = [
    [piece(' Tuning', 'title'), piece(`   ${fitText(stateText(model), columns - 12)}`, 'dim')],
    [],
  ];
  const height = rows - 1;
  const room = height - head.length - below.length - 4;
  const tuned = overlay.courses[overlay.at] ?? null;
  const large = largeLines(names[overlay.at] ?? '', tuned, columns - 4, room, unicode);
  const body = [...head, ...large, [], needleLine(tuned, columns, unicode), [], ...below];
  return fillLines([...fillLines(body, columns, height - 1), foot], columns, height);
}

/** Whether it listens, and what counts as in tune. */
function stateText({ ear }: Model): string {
  if (!ear.on) return 'not listening: press L';
  if (ear.opened === null) return safeText(ear.trouble) || 'opening the microphone';
  return ear.trouble === '' ? `strike each course; in tune is within ${inTune} cents` : safeText(ear.trouble);
}

/** The course and how far it is off, as large as there is room for. */
function largeLines(
  name: string,
  tuned: TunedCourse | null,
  columns: number,
  rows: number,
  unicode: boolean,
): Line[] {
  const letter = name.split(' ').at(-1) ?? '';
  const cents = tuned ? Math.round(tuned.cents) : null;
  const text = cents === null ? letter : `${letter} ${cents > 0 ? '+' : ''}${cents}`;
  const style: Style = tuned && isInTune(tuned) ? 'here' : tuned ? 'count' : 'dim';
  const scale = fitScale(unicode ? widest : widest.replace('♭', 'b'), columns, rows, unicode);
  if (scale === 0) return [[piece('  '), piece(text, style)]];
  const drawn = spaced(text, scale, unicode);
  return drawn.map((line): Line => [piece('  '), piece(line, style)]);
}

/** Large letters in which a space is as wide as a narrow letter. */
function spaced(text: string, scale: number, unicode: boolean): string[] {
  const words = text.split(' ').map((word) => bigText(word, { scale, unicode }));
  const gap = ' '.repeat(3 * scale);
  return Array.from({ length: bigHeight({ scale, unicode }) }, (_, line) =>
    words.map((word) => word[line] ?? '').join(gap),
  );
}

/** A needle between flat and sharp. */
function needleLine(tuned: TunedCourse | null, columns: number, unicode: boolean): Line {
  const side = Math.max(5, Math.min(mostSide, Math.floor((columns - 18) / 2)));
  const [rail, middle, sign] = unicode ? ['─', '┼', '●'] : ['-', '+', 'O'];
  const cells = Array.from({ length: 2 * side + 1 }, (_, index) => (index === side ? middle : rail));
  const cents = tuned ? Math.max(-mostCents, Math.min(mostCents, tuned.cents)) : null;
  const at = cents === null ? null : side + Math.round((cents / mostCents) * side);
  const pieces = cells.map((cell, index) =>
    index === at ? piece(sign, tuned && isInTune(tuned) ? 'here' : 'count') : piece(cell, 'dim'),
  );
  return [piece('  flat ', 'dim'), ...pieces, piece(' sharp', 'dim')];
}

function courseLine(
  name: string,
  index: number,
  names: readonly string[],
  { courses, at }: TuningOverlay,
  unicode: boolean,
): Line {
  const tuned = courses[index] ?? null;
  const width = Math.max(...names.map(({ length }) => length)) + 2;
  const isHere = index === at;
  const text = tuned ? tuningText(tuned) : 'not heard yet';
  return [
    piece(isHere ? (unicode ? ' ▸ ' : ' > ') : '   '),
    piece(name.padEnd(width), isHere ? 'here' : 'plain'),
    piece(text, tuned === null ? 'dim' : isInTune(tuned) ? 'plain' : 'count'),
  ];
}
