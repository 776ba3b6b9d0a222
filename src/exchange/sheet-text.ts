import { safeText } from '../base/safe-text.js';
import { textOverColumns } from '../base/text-columns.js';
import { type Fingering, fingerNames, fretsText } from '../hand/fingering.js';
import type { PrintedBar, PrintedSheet } from './sheet.js';

/** What is left blank for a student to fill in; the answers come at the end. */
export type Blank = 'chords' | 'shapes' | null;

/** The columns of a line of words. */
const lineEnd = 78;

/** A sheet as plain text, for a mail: bars four a line, numbers over chords, shapes as frets, changes in words. */
export function sheetText(sheet: PrintedSheet, blank: Blank = null, marks = false): string {
  const bars = sheet.sections.flatMap(({ rows }) => rows.flat());
  const width = bars.reduce(
    (most, bar) =>
      Math.max(
        most,
        barText(bar, 'number').length + 2,
        barText(bar, 'chord').length + 2,
        (bar.tune?.length ?? 0) + 2,
      ),
    10,
  );
  const holds = bars.some(({ cells }) => cells.some(({ number }) => number.endsWith('_')));
  const lines = [
    `${sheet.title}${sheet.by === null ? '' : `, ${sheet.by}`}`,
    `key ${sheet.key}   ${sheet.tempo}   ${sheet.meter}`,
    `form: ${sheet.form}`,
    sheet.capo,
    ...(sheet.notes === null ? [] : [sheet.notes.replace(/\s*\n\s*/g, ' ')]),
  ];
  for (const { name, who, same, rows } of sheet.sections) {
    lines.push('', `${name}${who === null ? '' : ` (${who})`}${same === null ? '' : `: as ${same}`}`);
    for (const row of rows) {
      const line = (text: (bar: PrintedBar) => string): string =>
        `  ${row.map((bar) => text(bar).padEnd(width)).join('')}`.trimEnd();
      const columns = { left: 2, each: width, right: lineEnd };
      for (const texts of [row.map(({ words }) => words ?? []), row.map(({ over }) => over)])
        lines.push(
          ...textOverColumns(
            texts.map((own) => own.map(safeText)),
            columns,
          ),
        );
      lines.push(line((bar) => barText(bar, 'number')));
      if (row.some(({ tune }) => tune !== undefined)) lines.push(line(({ tune }) => tune ?? ''));
      if (blank !== 'chords') lines.push(line((bar) => barText(bar, 'chord')));
      else lines.push(line(({ cells }) => cells.map(() => '____').join(' ')));
    }
  }
  const shapes = sheet.shapes.map(({ number, chord, fingering }) => {
    const head = `  ${number.padEnd(6)} ${(blank === 'chords' ? '____' : chord).padEnd(7)}`;
    return blank === 'shapes'
      ? `${head} ____________`
      : `${head} ${fretsText(fingering.frets).padEnd(12)} ${fingersInWords(fingering)}`;
  });
  lines.push('', `Shapes (${sheet.courses.join(' ')}, ${sheet.firstCourse})`, ...shapes);
  lines.push('', 'Changes (* the hardest)');
  for (const { from, to, says, hard } of sheet.changes)
    lines.push(`  ${hard ? '*' : ' '} ${from} to ${to}: ${says}`);
  lines.push(
    '',
    sheet.pattern,
    `Marks: ' early   ~ let it ring   ! choked stop${holds ? '   _ held until released' : ''}`,
  );
  if (marks) lines.push('', ...markLines());
  if (blank !== null) {
    lines.push('', 'Answers');
    for (const { number, chord, fingering } of sheet.shapes)
      lines.push(
        `  ${number.padEnd(6)} ${chord.padEnd(7)} ${fretsText(fingering.frets).padEnd(12)} ${fingersInWords(fingering)}`,
      );
  }
  return `${lines.map(safeText).join('\n')}\n`;
}

/** Lines that are filled in by hand on a sheet with marks. */
export const markCount = 6;

/** What is filled in by hand: one line a day, a box for each pass. */
function markLines(): readonly string[] {
  const line = '  ____________   _______   [ ] [ ] [ ] [ ] [ ]   ______________________';
  return [
    'How it went (tick each clean pass)',
    '  date           tempo     passes                what to look at',
    ...Array.from({ length: markCount }, () => line),
  ];
}

/** Which finger is on which course, bass side first: `little ring index middle`. */
function fingersInWords({ fingers }: Fingering): string {
  return fingers.map((finger) => (finger === null ? '-' : fingerNames[finger])).join(' ');
}

/** A bar in one line: its signs, and numbers or chords; those that share it stand in brackets, with dots for beats. */
function barText(
  { cells, opens, closes, ending, endsEnding }: PrintedBar,
  which: 'number' | 'chord',
): string {
  const names = cells.map((cell) => {
    const name = which === 'number' ? `${cell.number}${cell.hard ? '*' : ''}` : cell.chord;
    return name + (which === 'number' && cell.dots !== null ? '.'.repeat(cell.dots) : '');
  });
  const bracketed = cells.length > 1 || (which === 'number' && cells.some(({ dots }) => dots !== null));
  const inner = bracketed ? `(${names.join(' ')})` : (names[0] ?? '');
  if (which === 'chord')
    return `${opens ? '   ' : ''}${ending === null ? '' : ' '.repeat(ending.length + 2)}${inner}`;
  const before = `${opens ? '|: ' : ''}${ending === null ? '' : `[${ending} `}`;
  const behind = `${endsEnding ? ' ]' : ''}${closes === null ? '' : ` :|${closes === 2 ? '' : ` x${closes}`}`}`;
  return `${before}${inner}${behind}`;
}
