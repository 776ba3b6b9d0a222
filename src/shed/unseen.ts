import { type Key, keyName } from '../theory/key.js';
import { byWeight, oneOf, seeded } from './seeded.js';
import { sectionText } from './unseen-bars.js';
import { chordsOf, type SongMeans } from './unseen-choice.js';
import type { UnseenLevel } from './unseen-levels.js';
import { coloursAt, unseenNumbers } from './unseen-numbers.js';
import { songPlans } from './unseen-plans.js';
import { levelRules } from './unseen-rules.js';
import { type SectionLines, sectionLines } from './unseen-section.js';

/** What an unseen chart is made from. The same wishes make the same chart. */
export interface UnseenWishes {
  readonly seed: number;
  readonly key: Key;
  readonly level: UnseenLevel;
  readonly bpm: number;
}

/** How often the chorus ends with the line that the verse ends with. */
const sameEnding = 0.4;

/** A song in numbers: its sections, its form. */
interface Song {
  readonly sections: ReadonlyMap<string, SectionLines>;
  readonly form: string;
}

/**
 * The text of a chart that nobody has seen; it always reads back without a fault. It is made from a grammar: a song has sections
 * (`unseen-plans.ts`), a section has lines, a line four chords (`unseen-lines.ts`) of the level's numbers (`unseen-numbers.ts`),
 * at the pace of the level (`unseen-rules.ts`); lines follow each other by usual changes (`unseen-changes.ts`).
 */
export function unseenChart({ seed, key, level, bpm }: UnseenWishes): string {
  const random = seeded(seed);
  const means = songMeans(level, key.mode, random);
  let song = newSong(means);
  // A song that shows little of its level would be one of the level below.
  for (let tries = 0; tries < 60 && !shows(song, means); tries += 1) song = newSong(means);
  const texts = [...song.sections].map(([name, lines]) => ({ name, ...sectionText(lines, means) }));
  const chorus = texts.find(({ name }) => name === 'C');
  const lift = chorus && random() < means.rules.lifts ? chorus.lines : [];
  const section = (name: string, lines: readonly string[]): string[] => [
    `  ${name}: |`,
    ...lines.map((line) => `    ${line}`),
  ];
  return [
    `title: Unseen ${seed}, ${level}`,
    `key: ${keyName(key)}`,
    `tempo: ${bpm}`,
    `meter: ${means.waltz ? '3/4' : '4/4'}`,
    ...(texts.some(({ crooked }) => crooked) ? ['crooked: yes'] : []),
    `form: ${song.form}${lift.length > 0 ? ', lift' : ''}`,
    'sections:',
    ...texts.flatMap(({ name, lines }) => section(name, lines)),
    ...(lift.length > 0 ? section('lift', [`@key+2 ${lift[0]}`, ...lift.slice(1)]) : []),
    '',
  ].join('\n');
}

function songMeans(level: UnseenLevel, mode: Key['mode'], random: () => number): SongMeans {
  const rules = levelRules[level];
  const waltz = random() < rules.waltzes;
  let colours = coloursAt(level, mode);
  const colour = new Set<string>();
  for (let left = byWeight(rules.colours, random); left > 0 && colours.length > 0; left -= 1) {
    const own = byWeight(
      colours.map((one) => [one.weight, one] as const),
      random,
    );
    for (const number of own.numbers) colour.add(number);
    colours = colours.filter((one) => one !== own && one.name !== own.apart);
  }
  return { mode, rules, colour, numbers: new Set([...unseenNumbers[mode].base, ...colour]), waltz, random };
}

function newSong(means: SongMeans): Song {
  const plans = songPlans.filter(({ sections }) => !means.waltz || Object.values(sections)[0] === 'verse');
  const plan = byWeight(
    plans.map((one) => [one.weight, one] as const),
    means.random,
  );
  const sections = new Map<string, SectionLines>();
  for (const [name, kind] of Object.entries(plan.sections)) {
    const verse = sections.get('V');
    const ending = kind === 'chorus' && means.random() < sameEnding ? verse?.lines.at(-1) : undefined;
    sections.set(name, sectionLines(kind, means, ending));
  }
  return { sections, form: oneOf(plan.forms, means.random) };
}

/** Whether a song has this many changes, and so many of its colour's numbers, as its level wants. */
function shows({ sections }: Song, { colour, rules, waltz }: SongMeans): boolean {
  const parts = [...sections.values()].map(({ lines, pace }) => {
    const chords = lines.flatMap(chordsOf);
    const changes = chords.filter((chord, at) => at > 0 && chord !== chords[at - 1]).length;
    return { chords, changes, bars: lines.flat().length * pace };
  });
  const shown = [...colour].filter((number) => parts.some(({ chords }) => chords.includes(number))).length;
  const least = rules.changes * (waltz ? 0.75 : 1);
  const sum = (of: 'changes' | 'bars') => parts.reduce((all, part) => all + part[of], 0);
  return (
    shown >= Math.min(rules.shows, colour.size) &&
    sum('changes') >= least * sum('bars') &&
    parts.every(({ changes, bars }) => changes >= (least / 2) * bars)
  );
}
