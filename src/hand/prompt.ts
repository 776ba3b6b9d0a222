import { courseNames, risesInPitch } from './course-names.js';
import { type Finger, fingerNames } from './fingering.js';
import { coursesOf, flatChanges } from './flat-changes.js';
import { glance } from './glance.js';
import { alongOf, handMove } from './hand-move.js';
import type { Motion } from './motion.js';
import { type NeckSight, usualNeck } from './neck-sight.js';

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

/**
 * Says a motion as a teacher would: what the hand does, then each finger; courses by their letters. The arrow
 * points as the neck is drawn for `sight`, which also says whether sides are called ceiling and floor.
 *
 * @example prompt(motion(g, c, mandolin)).sentence // 'same frets, one course to the bass side; little lifts'
 */
export function prompt(way: Motion, sight: NeckSight = usualNeck): Prompt {
  return { glance: glance(way, sight), sentence: sentenceOf(way, sight).join('; ') };
}

function sentenceOf(way: Motion, sight: NeckSight): string[] {
  const { planted, moves, lifts, lands } = way;
  if (moves.length === 0 && lifts.length === 0 && lands.length === 0) {
    const changed = [...flatPhrases(way), ...soundingPhrases(way)];
    return changed.length === 0 ? ['the same shape', 'nothing moves'] : ['the fingers stay', ...changed];
  }
  if (planted.length === 0) return handPhrases(way, sight);
  const stay = `${list(named(planted))} ${planted.length === 1 ? 'stays' : 'stay'}`;
  return [stay, ...movePhrases(way, sight), ...airPhrases(way), ...flatPhrases(way)];
}

/** What the hand does, and what its fingers do beyond that. */
function handPhrases(way: Motion, sight: NeckSight): string[] {
  const { frets, courses, beyond } = handMove(way);
  if (courses === null) return [...otherFingers(way, frets), ...liftPhrases(way)];
  const across = courses === 0 ? 'same courses' : coursesPhrase(way, courses, sight);
  const hand =
    frets !== 0
      ? `${fretsPhrase(frets)}, ${across}`
      : beyond.length === 0
        ? `same frets, ${across}`
        : courses === 0
          ? 'the hand stays'
          : across;
  const farther = beyond.map(({ finger, frets: more }) =>
    frets === 0
      ? `${fingerNames[finger]} ${fretsPhrase(more)}`
      : `${fingerNames[finger]} ${morePhrase(more, frets)}`,
  );
  return [hand, ...farther, ...airPhrases(way), ...flatPhrases(way)];
}

/** If other fingers take over, this says where each is, not how it got there. */
function otherFingers({ from, to, instrument }: Motion, shift: number): string[] {
  const names = courseNames(instrument);
  const stand = ([1, 2, 3, 4] as const).map((finger) => ({ finger, courses: coursesOf(to, finger) }));
  const places = stand
    .filter(({ courses }) => courses.length > 0)
    .sort((one, other) => (one.courses[0] as number) - (other.courses[0] as number))
    .map(({ finger, courses }, index) => {
      const letters = list(courses.map((course) => names[course] as string));
      const where = courses.length > 1 ? 'courses' : 'course';
      return `${fingerNames[finger]} on the ${letters}${index === 0 || courses.length > 1 ? ` ${where}` : ''}`;
    });
  const hand = shift === 0 ? 'the hand stays' : `the hand shifts ${fretsPhrase(shift)}`;
  const along = alongOf(from, to);
  return [
    ...(along === null || along === shift ? [] : [`${fretsPhrase(along)}, same courses`]),
    `${hand} and the fingers change: ${places.join(', ')}`,
  ];
}

function movePhrases({ moves, to, instrument }: Motion, { sayCeiling }: NeckSight): string[] {
  const names = courseNames(instrument);
  return moves.map(({ finger, frets, courses }) => {
    const side = sayCeiling ? ` toward the ${courses > 0 ? 'floor' : 'ceiling'}` : '';
    const course = courses === 0 ? '' : `${side} to the ${names[to.fingers.indexOf(finger)]} course`;
    const parts = [course, frets === 0 ? '' : ` ${fretsPhrase(frets)}`].filter((part) => part !== '');
    return `${fingerNames[finger]}${parts.join(',')}`;
  });
}

function airPhrases(way: Motion): string[] {
  const names = courseNames(way.instrument);
  const landed = way.lands.map(
    ({ finger, course }) => `${fingerNames[finger]} lands on the ${names[course]} course`,
  );
  return [...liftPhrases(way), ...landed];
}

function liftPhrases({ lifts }: Motion): string[] {
  return lifts.length === 0 ? [] : [`${list(named(lifts))} ${lifts.length === 1 ? 'lifts' : 'lift'}`];
}

/** Fingers that lie across other courses than before, for as many as they come to. */
function flatPhrases(way: Motion): string[] {
  const names = courseNames(way.instrument);
  return flatChanges(way).map(({ finger, courses }) => {
    const letters = list(courses.map((course) => names[course] as string));
    return `${fingerNames[finger]} ${courses.length > 1 ? `lies flat across ${letters}` : `stands on ${letters} alone`}`;
  });
}

/** Courses without a finger that sound now, or no longer do. */
function soundingPhrases({ from, to, instrument }: Motion): string[] {
  return courseNames(instrument).flatMap((name, course): string[] => {
    const [before, after] = [from.frets[course] ?? null, to.frets[course] ?? null];
    if ((before === null) === (after === null)) return [];
    return [`the ${name} course ${after === null ? 'is left out' : 'sounds too'}`];
  });
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

/** How much farther, or less far, a finger goes than a hand that shifts. */
function morePhrase(more: number, shift: number): string {
  const count = Math.abs(more);
  const farther = Math.sign(more) === Math.sign(shift);
  return `${words[count] ?? count} ${count === 1 ? 'fret' : 'frets'} ${farther ? 'farther' : 'less far'}`;
}

/** Across the courses: by sides, by what the hand feels, or, where pitch does not follow place, toward an outer course. */
function coursesPhrase({ instrument }: Motion, courses: number, { sayCeiling }: NeckSight): string {
  const count = Math.abs(courses);
  const many = `${words[count] ?? count} ${count === 1 ? 'course' : 'courses'}`;
  if (sayCeiling) return `${many} toward the ${courses > 0 ? 'floor' : 'ceiling'}`;
  if (risesInPitch(instrument)) return `${many} to the ${courses > 0 ? 'treble' : 'bass'} side`;
  return `${many} toward the ${courseNames(instrument).at(courses > 0 ? -1 : 0)} course`;
}
