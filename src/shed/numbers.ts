import { familyOf } from '../hand/family.js';
import { fretsText } from '../hand/fingering.js';
import type { Instrument } from '../hand/instrument.js';
import { type NeckSight, usualNeck } from '../hand/neck-sight.js';
import { prompt } from '../hand/prompt.js';
import { stockFingerings } from '../hand/stock.js';
import { type Chord, chordName, toChord } from '../theory/chord.js';
import { type Key, keyName, majorTonics } from '../theory/key.js';
import { type NumberChord, numberText, parseNumber } from '../theory/number.js';
import { oneOf } from './seeded.js';

/** A question without the instrument: what is asked, what is right, and how an answer is judged. */
export interface Question {
  readonly asks: string;
  /** What is said when the answer was wrong. */
  readonly right: string;
  readonly isRight: (answer: string) => boolean;
}

const asked = ['1', '4', '5', '6-', '2-', '3-', 'b7', '2'];

function numberOf(text: string): NumberChord {
  const number = parseNumber(text);
  if (!number.ok) throw new RangeError(text);
  return number.value;
}

/** Answers as they are typed: signs and small letters do not matter. */
function plain(text: string): string {
  return text.trim().replace(/♭/g, 'b').replace(/♯/g, '#').replace(/\s+/g, '').toLowerCase();
}

/** A question, at random. */
export function question(
  instrument: Instrument,
  random: () => number,
  sight: NeckSight = usualNeck,
): Question {
  const key: Key = { tonic: oneOf(majorTonics, random), mode: 'major' };
  const kind = oneOf(questionKinds, random);
  return ask(kind, { key, number: numberOf(oneOf(asked, random)), instrument, random, sight });
}

/** What can be asked: the chord of a number, the number of a chord, a shape, the way the hand goes. */
export const questionKinds = ['chord', 'number', 'shape', 'way'] as const;

/** A question of a kind. */
export function ask(kind: (typeof questionKinds)[number], of: Omit<Asked, 'chord'>): Question {
  const about: Asked = { ...of, chord: toChord(of.number, of.key) };
  return { chord: chordOf, number: numberIn, shape: shapeOf, way: wayOf }[kind](about);
}

interface Asked {
  readonly key: Key;
  readonly number: NumberChord;
  readonly chord: Chord;
  readonly instrument: Instrument;
  readonly random: () => number;
  readonly sight?: NeckSight;
}

function chordOf({ key, number, chord }: Asked): Question {
  const right = chordName(chord);
  return {
    asks: `${numberText(number)} of ${keyName(key)}?`,
    right,
    isRight: (answer) => plain(answer) === plain(right),
  };
}

function numberIn({ key, number, chord }: Asked): Question {
  const right = numberText(number);
  return {
    asks: `which number is ${chordName(chord)} in ${keyName(key)}?`,
    right,
    isRight: (answer) => plain(answer) === plain(right),
  };
}

function shapeOf({ chord, instrument, ...rest }: Asked): Question {
  const shapes = stockFingerings(chord, instrument).map(({ frets }) => fretsText(frets));
  const [right] = shapes;
  if (right === undefined) return chordOf({ chord, instrument, ...rest });
  return {
    asks: `a closed shape for ${chordName(chord)}? (frets, bass side first, as 7-5-2-3)`,
    right: shapes.slice(0, 3).join(' or '),
    isRight: (answer) => shapes.includes(plain(answer).replace(/[^0-9x]+/g, '-')),
  };
}

const ways = ['stay', 'bass', 'treble', 'nut', 'bridge'] as const;

function wayOf(asks: Asked): Question {
  const { key, instrument, random, sight } = asks;
  const moves = familyOf(key, instrument)
    .moves.map(({ from, to, motion }) => ({ from, to, said: prompt(motion, sight) }))
    .filter(({ said }) => ways.some((way) => said.glance.includes(way)));
  if (moves.length === 0) return chordOf(asks);
  const move = oneOf(moves, random);
  const { glance, sentence } = move.said;
  return {
    asks: `from ${move.from} to ${move.to} in ${keyName(key)}: which way does the hand go? (stay, bass, treble, nut or bridge)`,
    right: `${glance}: ${sentence}`,
    isRight: (answer) => ways.some((way) => way === plain(answer)) && glance.includes(plain(answer)),
  };
}
