import { byWeight } from './seeded.js';
import { type Cells, choices, follows, joinsWell, type LinePlace, type SongMeans } from './unseen-choice.js';
import { type Line, lineOf } from './unseen-line.js';
import { songLines } from './unseen-lines.js';
import { type LineTask, type SectionKind, sectionPlans } from './unseen-plans.js';
import type { Pace } from './unseen-rules.js';

/** A section as lines of cells, each of which lasts as long as the pace says. */
export interface SectionLines {
  readonly pace: Pace;
  readonly lines: readonly Cells[];
}

/**
 * The lines of a section. A chorus often ends as its verse does; then it is given that line.
 * A line is only chosen if it stands well between its neighbours, so that every section is sound as it is made.
 */
export function sectionLines(kind: SectionKind, means: SongMeans, ending?: Cells): SectionLines {
  if (kind === 'twelve') return twelveLines(means);
  const { tasks, pace } = planFor(kind, means);
  const known = new Map<LineTask, Cells>();
  const lines: Cells[] = [];
  tasks.forEach((task, index) => {
    const next = tasks[index + 1];
    const place = { before: lines.flat(), after: next && known.get(next), pace };
    const again = known.get(task);
    const last = task === 'z' && index === tasks.length - 1 ? ending : undefined;
    const given = again ?? (last && canStand(last, place, means) ? last : undefined);
    const line =
      given && follows(place.before, given, pace, means) ? given : lineFor(task, known, place, means);
    known.set(task, line);
    lines.push(line);
  });
  return { pace, lines };
}

function planFor(kind: Exclude<SectionKind, 'twelve'>, { rules, waltz, random }: SongMeans) {
  const usable = sectionPlans[kind].flatMap(({ weight, lines, paces }) =>
    rules.paces
      .filter(([, pace]) => paces.includes(pace) && !(waltz && pace < 1))
      .map(([often, pace]) => [weight * often, { tasks: lines, pace }] as const),
  );
  return byWeight(usable, random);
}

/** A line for a task in a place. */
function lineFor(
  task: LineTask,
  known: ReadonlyMap<LineTask, Cells>,
  place: LinePlace,
  means: SongMeans,
): Cells {
  const { setOut, away, close, turnHome } = songLines[means.mode];
  const one = (lines: readonly Line[]): Cells => byWeight(choices(lines, place, means), means.random);
  switch (task) {
    case 'a':
    case 'b':
      return one(setOut);
    case 'c':
      return one(away);
    case 'o':
      return one([...setOut, ...away].filter(({ text }) => text.endsWith(' 5')));
    case 'h':
      return one(close.filter(({ text }) => /^1-? /.test(text)));
    case 'z':
      return one(close);
    default: {
      const half = (known.get(task === 'A' ? 'a' : 'c') ?? one(away)).slice(0, 2);
      const turned = turnHome
        .filter(({ cells }) => joinsWell(half, cells, means.mode))
        .map(({ weight, text }) => lineOf([weight, `${half.join(' ')} ${text}`]));
      const fitting = choices(turned, place, means);
      return byWeight(fitting.length > 0 ? fitting : choices(close, place, means), means.random);
    }
  }
}

function canStand(line: Cells, place: LinePlace, means: SongMeans): boolean {
  return choices([lineOf([1, line.join(' ')])], place, means).length > 0;
}

function twelveLines(means: SongMeans): SectionLines {
  const lines: Cells[] = [];
  for (const ways of songLines[means.mode].twelve) {
    const place: LinePlace = { before: lines.flat(), after: undefined, pace: 1 };
    lines.push(byWeight(choices(ways, place, means), means.random));
  }
  return { pace: 1, lines };
}
