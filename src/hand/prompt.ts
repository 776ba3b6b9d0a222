import { type Finger, fingerNames } from './fingering.js';
import type { Motion } from './motion.js';

/** A motion in words: a `glance` with an arrow and at most one number, and a whole `sentence`. */
export interface Prompt {
  readonly glance: string;
  readonly sentence: string;
}

const words = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

/** Arrows by direction along the neck (nut −1, bridge 1) and across it (bass −1, treble 1). */
const arrows: Readonly<Record<string, string>> = {
  '1,0': '→',
  '-1,0': '←',
  '0,1': '↑',
  '0,-1': '↓',
  '1,1': '↗',
  '1,-1': '↘',
  '-1,1': '↖',
  '-1,-1': '↙',
};
const plainArrows: Readonly<Record<string, string>> = {
  '→': '>',
  '←': '<',
  '↑': '^',
  '↓': 'v',
  '↗': '^>',
  '↘': 'v>',
  '↖': '<^',
  '↙': '<v',
};

/** The glance without Unicode arrows. */
export function plainGlance(glance: string): string {
  return glance.replace(/[→←↑↓↗↘↖↙]/g, (arrow) => plainArrows[arrow] ?? arrow);
}

/**
 * Says a motion. The neck lies as the player sees it looking down: nut left, bass side at the bottom.
 *
 * @example prompt(motion(g, c, mandolin)).sentence // 'same frets, one course to the bass side; little lifts'
 */
export function prompt(way: Motion): Prompt {
  if (way.moves.length === 0 && way.lifts.length === 0 && way.lands.length === 0) {
    return { glance: '= stay', sentence: 'the same shape; nothing moves' };
  }
  if (way.shared) return sharedPrompt(way, way.shared);
  if (way.planted.length > 0) return plantedPrompt(way);
  return eachPrompt(way);
}

function sharedPrompt(way: Motion, shared: { frets: number; courses: number }): Prompt {
  const arrow = arrows[`${Math.sign(shared.frets)},${Math.sign(shared.courses)}`] ?? '=';
  const glance =
    shared.frets !== 0
      ? `${arrow} ${shared.frets > 0 ? 'bridge' : 'nut'} ${Math.abs(shared.frets)}`
      : `${arrow} ${shared.courses > 0 ? 'treble' : 'bass'}${Math.abs(shared.courses) > 1 ? ` ${Math.abs(shared.courses)}` : ''}`;
  const across = shared.courses === 0 ? 'same courses' : coursesPhrase(shared.courses);
  const along = shared.frets === 0 ? 'same frets' : fretsPhrase(shared.frets);
  return { glance, sentence: [`${along}, ${across}`, ...airPhrases(way)].join('; ') };
}

function plantedPrompt(way: Motion): Prompt {
  const names = way.planted.map((finger) => fingerNames[finger]);
  const stays = `${list(names)} ${names.length === 1 ? 'stays' : 'stay'}`;
  return {
    glance: `stay: ${names.join(' ')}`,
    sentence: [stays, ...movePhrases(way), ...airPhrases(way)].join('; '),
  };
}

function eachPrompt(way: Motion): Prompt {
  const along = way.moves.reduce((sum, move) => sum + move.frets, 0);
  const across = way.moves.reduce((sum, move) => sum + move.courses, 0);
  const arrow = arrows[`${Math.sign(along)},${Math.sign(across)}`] ?? '*';
  return { glance: `${arrow} new shape`, sentence: [...movePhrases(way), ...airPhrases(way)].join('; ') };
}

function movePhrases(way: Motion): string[] {
  return way.moves.map((move) => {
    const parts = [
      move.frets === 0 ? '' : fretsPhrase(move.frets),
      move.courses === 0 ? '' : coursesPhrase(move.courses),
    ];
    return `${fingerNames[move.finger]} ${parts.filter((part) => part !== '').join(' and ')}`;
  });
}

function airPhrases(way: Motion): string[] {
  const phrases: string[] = [];
  if (way.lifts.length > 0)
    phrases.push(`${list(named(way.lifts))} ${way.lifts.length === 1 ? 'lifts' : 'lift'}`);
  for (const { finger, course } of way.lands) {
    phrases.push(`${fingerNames[finger]} lands on ${courseName(course, way.to.frets.length)}`);
  }
  return phrases;
}

function named(fingers: readonly Finger[]): string[] {
  return fingers.map((finger) => fingerNames[finger] as string);
}

function list(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

function fretsPhrase(frets: number): string {
  const count = Math.abs(frets);
  return `${words[count] ?? count} ${count === 1 ? 'fret' : 'frets'} toward the ${frets > 0 ? 'bridge' : 'nut'}`;
}

function coursesPhrase(courses: number): string {
  const count = Math.abs(courses);
  return `${words[count] ?? count} ${count === 1 ? 'course' : 'courses'} to the ${courses > 0 ? 'treble' : 'bass'} side`;
}

function courseName(course: number, count: number): string {
  if (course === 0) return 'the bass course';
  if (course === count - 1) return 'the treble course';
  return `the ${['', 'second', 'third', 'fourth', 'fifth'][course] ?? `${course + 1}th`} course`;
}
