import { chopLimits, usualSound } from '../time/sound.js';
import { chopSteps } from './chop-steps.js';
import { strainCaution } from './drill.js';

/** What is heard when a chop is not right yet, and what to do about it. Common practice. */
const faults: readonly (readonly [heard: string, remedy: string])[] = [
  ['a course rings on', 'a finger left its string, or a course is open'],
  ['a chord that lasts', 'let go sooner: the pressure, not the finger'],
  ['a knock, no pitch', 'squeezed too late, or let go too early'],
  ['a clank', 'strings hit the frets: less force in both hands'],
  ['one course, then another', 'a quicker wrist, less pick between the strings'],
  ['each one different', 'slower, until ten are alike'],
];

/** What the chop is, how it is done, how to hear that it is right, and the drills that lead there: lines to be read. */
export function chopPage(): readonly string[] {
  const { least, most } = chopLimits;
  return [
    'The chop',
    '',
    'All courses at once, stopped at once, on 2 and 4. It barks and is over.',
    'In a band without drums it is the drum.',
    '',
    'Before you begin',
    '  Take a shape without open courses. What a finger holds it can let go;',
    '  an open course rings on. Three courses are enough.',
    '',
    'The stroke',
    '  1. Rest.     The fingers lie on the strings and do not press.',
    '  2. Squeeze.  Press the whole shape down, all fingers at once.',
    '  3. Strike.   One stroke down through all courses, from a loose wrist.',
    '  4. Let go.   At once. The pressure goes, the fingers stay on the strings',
    '               and damp them. They never leave the strings.',
    '  Squeeze, strike, let go: one motion, not three. Between two chops the hand',
    '  rests.',
    '',
    'How long it sounds',
    `  About ${usualSound.chopMs} milliseconds; ${least} to ${most} is usual. At 120 a beat lasts 500.`,
    '  Shorter is a click, longer is a chord.',
    '',
    'How to hear that it is right',
    '  Chop once and listen. There was a chord, for a moment, and now there is',
    '  nothing: no course that rings, no clank. Then ten in a row: all alike.',
    ...faults.map(([heard, remedy]) => `  ${`${heard}:`.padEnd(26)}${remedy}`),
    '',
    'Low note and chop',
    '  The lowest course alone on 1 and 3, the chop on 2 and 4. Hold the finger of',
    '  the low note until the chop comes, so that it rings until then. Only that',
    '  finger presses; the others rest. Practise the two alone, with no other sound.',
    '',
    'The upstroke after',
    '  Only when low note and chop go by themselves. Half a beat after the chop the',
    '  hand comes up anyway: let the pick touch the two highest courses on its way.',
    '  Light, shorter than the chop, never louder. If the chop suffers, leave it out.',
    '',
    'The drills',
    ...Object.entries(chopSteps).map(([step, { says }]) => `  barkline shed chop ${step.padEnd(8)}${says}`),
    '  They begin at 60 and go up to 120 when you say that a pass was clean. Clean',
    '  means: each one stopped, none rang, none clanked. What sounds is how yours is',
    '  to sound; v turns it off. --key puts them in a key.',
    '',
    'Take care',
    '  Squeeze no harder than the notes need. The thumb does not clamp, the wrist is',
    '  straight, the shoulder hangs. Two minutes, then let the hand hang and shake it',
    '  out. Soft fingertips need weeks, not hours.',
    `  ${strainCaution.split('. ').join('.\n  ')}`,
  ].flatMap((line) => line.split('\n'));
}
