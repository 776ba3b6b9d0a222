import { leaderId } from '../../../band/band.js';
import { safeText } from '../../../base/safe-text.js';
import { type BandView, bandRows, membersInOrder } from '../../state/band.js';
import { fitLine, fitText, type Line, padText, piece, textWidth } from '../line.js';

/** Columns of a name, at most, and of a part. */
const mostName = 20;
const partColumns = 9;

/** The list of the overlay, cut to the lines there are so that the chosen one is among them. */
export interface MemberList {
  readonly columns: number;
  readonly room: number;
  /** Which line is chosen of those that a leader can act on. */
  readonly chosen: number;
  readonly unicode: boolean;
}

/** How many lines all of the list has. */
export function memberCount(view: BandView): number {
  return 1 + Math.max(view.band.members.size, bandRows(view).length);
}

/** Who is there: oneself, what was asked for, the others; in a class with the last pass of each. */
export function memberLines(view: BandView, list: MemberList): Line[] {
  const { columns, room, chosen, unicode } = list;
  const all = allLines(view, list);
  if (all.length <= room) return all;
  const rows = bandRows(view).length;
  // Oneself comes first and cannot be chosen.
  const at = rows === 0 ? 0 : 1 + Math.max(0, Math.min(rows - 1, chosen));
  const most = Math.max(1, room - 1);
  const from = Math.max(0, Math.min(all.length - most, at - Math.floor(most / 2)));
  const dash = unicode ? '–' : '-';
  const said = `${from + 1}${dash}${from + most} of ${all.length}`;
  return [...all.slice(from, from + most), fitLine([piece(`    ${said}`, 'dim')], columns)];
}

function allLines(view: BandView, list: MemberList): Line[] {
  const { band } = view;
  const leader = leaderId(band);
  const rows = bandRows(view);
  const names = [band.name, ...[...band.members.values()].map(({ name }) => name)].map(safeText);
  const nameColumns = Math.min(mostName, Math.max(...names.map(textWidth)));
  const line = (name: string, part: string, tail: string, isChosen: boolean, isDim = false): Line => {
    const mark = isChosen ? (list.unicode ? '  ▸ ' : '  > ') : '    ';
    const label = `${padText(safeText(name), nameColumns)}  ${padText(part, partColumns)}`;
    return [
      piece(mark, isChosen ? 'count' : 'plain'),
      piece(label, isChosen ? 'here' : 'plain'),
      piece('  '),
      piece(fitText(safeText(tail), list.columns - nameColumns - partColumns - 9), isDim ? 'dim' : 'plain'),
    ];
  };
  const isTeacher = view.isClass && leader === band.id;
  const own = line(band.name, band.part, leader === band.id ? 'you lead' : 'you', false, true);
  const tailOf = (id: string): string => {
    if (id === leader) return 'leads';
    if (!isTeacher) return '';
    const result = view.results.get(id);
    return result ? `pass ${result.pass}: ${result.line}` : 'no pass yet';
  };
  if (rows.length === 0)
    return [own, ...membersInOrder(band).map(({ id, name, part }) => line(name, part, tailOf(id), false))];
  return [
    own,
    ...rows.map((row, index): Line => {
      const isChosen = index === list.chosen;
      if (row.kind === 'stand') {
        const { id, name, part } = row.member;
        return line(name, part, tailOf(id), isChosen, isTeacher && !view.results.has(id));
      }
      const mark = isChosen ? (list.unicode ? '  ▸ ' : '  > ') : '    ';
      const text = `asked for: ${safeText(row.title)} (${fitText(safeText(row.from), mostName)})`;
      return [
        piece(mark, isChosen ? 'count' : 'plain'),
        piece(fitText(text, list.columns - 6), isChosen ? 'here' : 'cue'),
      ];
    }),
  ];
}
