import type { DiaryEntry } from './diary.js';
import type { PathStep } from './path-step.js';

/*
 * The path is ours: the order in which common practice teaches chop chords, one difficulty at a time. First one shape that sounds
 * and stops, then the three ways between 1, 4 and 5 in the easiest key, a song, and only then other keys. The right hand's
 * upstroke and the minor chords branch off after the first song; all branches meet in the song through three keys.
 * Charts are exercises without melody.
 */

/** Two bars a chord, then one: time to arrive first, then the same at the pace of a song. */
function between(one: string, other: string): string {
  return [
    'pattern: chop',
    'form: slow, quick',
    'sections:',
    '  slow: |',
    `    ${one} ${one} ${other} ${other}`,
    '  quick: |',
    `    ${one} ${other} ${one} ${other}`,
  ].join('\n');
}

/** The song of 1, 4 and 5 that is carried through the keys. */
export const songOfThree = [
  'pattern: chop',
  'form: V, C',
  'sections:',
  '  V: |',
  '    1 1 4 1',
  '    1 1 5 5',
  '  C: |',
  '    4 4 1 1',
  '    4 5 1 1',
].join('\n');

/** A song with the chords that are beside 1, 4 and 5. */
export const songOfFive = [
  'pattern: chop',
  'form: V, C',
  'sections:',
  '  V: |',
  '    1 6- 4 5',
  '    1 6- 2- 5',
  '  C: |',
  '    4 5 1 6-',
  '    2- 5 1 1',
].join('\n');

/** The steps of the path, each after those that it needs. */
export const pathSteps: readonly PathStep[] = [
  {
    id: 'one-shape',
    title: 'The chop on one shape',
    says: 'On 2 and 4: squeeze, strike, let go at once without leaving the strings. It barks and stops: no course rings on, nothing clanks.',
    needs: [],
    keys: ['G'],
    bpm: 76,
    clean: 2,
    days: 1,
    kind: 'phrase',
    ways: ['chop-damped', 'chop-shape', 'fret'],
    chart: 'pattern: chop\nsections:\n  chop: |\n    1 1 1 1',
  },
  {
    id: 'home-and-four',
    title: '1 and 4',
    says: 'Two bars each, then one. The hand moves between two chops; the chop on the new chord is on time before it is beautiful.',
    needs: ['one-shape'],
    keys: ['G'],
    bpm: 72,
    clean: 2,
    days: 2,
    kind: 'pair',
    ways: ['lift', 'fret', 'order', 'ring', 'gaps'],
    chart: between('1', '4'),
  },
  {
    id: 'four-and-five',
    title: '4 and 5',
    says: 'The change that many songs make only once, and quickly. Two bars each, then one.',
    needs: ['home-and-four'],
    keys: ['G'],
    bpm: 72,
    clean: 2,
    days: 1,
    kind: 'pair',
    ways: ['fret', 'order', 'ring', 'gaps'],
    chart: between('4', '5'),
  },
  {
    id: 'five-and-home',
    title: '5 and 1',
    says: 'The way home. Hear that it is home when you arrive. Two bars each, then one.',
    needs: ['home-and-four'],
    keys: ['G'],
    bpm: 72,
    clean: 2,
    days: 1,
    kind: 'pair',
    ways: ['fret', 'order', 'ring', 'gaps'],
    chart: between('5', '1'),
  },
  {
    id: 'song-of-three',
    title: 'Hinge and Lantern, a song of 1, 4 and 5',
    says: 'A whole song. Go on whatever happens: a chop that is missed is over, the next one is not.',
    needs: ['four-and-five', 'five-and-home'],
    keys: ['G'],
    bpm: 80,
    clean: 2,
    days: 2,
    kind: 'song',
    ways: ['order', 'ring', 'gaps', 'fret'],
    chart: songOfThree,
  },
  {
    id: 'same-shapes-higher',
    title: 'The same shapes higher: A, B flat, B',
    says: 'The song again. Only the place of the hand changes: find the first shape, and play as in G.',
    needs: ['song-of-three'],
    keys: ['A', 'Bb', 'B'],
    bpm: 84,
    clean: 2,
    days: 1,
    kind: 'song',
    ways: ['order', 'fret', 'ring', 'gaps'],
    chart: songOfThree,
  },
  {
    id: 'three-fingers',
    title: 'The three-finger family: D, E, E flat, C',
    says: '1 is now the shape with three fingers, and 4 and 5 lie round it. Do not strike the course that is not stopped.',
    needs: ['song-of-three'],
    // D first: 4 and 5 are shapes that G has taught; C has a 4 with a flat finger.
    keys: ['D', 'E', 'Eb', 'C'],
    bpm: 84,
    clean: 2,
    days: 1,
    kind: 'phrase',
    ways: ['fret', 'order', 'ring', 'gaps'],
    chart: 'pattern: chop\nsections:\n  round: |\n    1 1 4 4\n    1 1 5 5\n    1 4 5 1\n    4 5 1 1',
  },
  {
    id: 'upstroke',
    title: 'The upstroke after the chop',
    says: 'A light stroke up, an eighth after the chop, over the two upper courses. The chop stays as it was, short and on time.',
    needs: ['song-of-three'],
    keys: ['G', 'A'],
    bpm: 80,
    clean: 2,
    days: 1,
    kind: 'phrase',
    ways: ['chop-up', 'damped', 'gaps', 'ring'],
    chart:
      'pattern: low-chop-up\nsections:\n  one chord: |\n    1 1 1 1\n  changes: |\n    1 1 4 4\n    5 5 1 1\nform: one chord, changes',
  },
  {
    id: 'minor-neighbours',
    title: '6- and 2-',
    says: 'The minor chords beside 1, 4 and 5: Am and Em in G. From 1 to 6- two fingers stay near where they are.',
    needs: ['same-shapes-higher'],
    keys: ['G', 'A'],
    bpm: 84,
    clean: 2,
    days: 1,
    kind: 'phrase',
    ways: ['fret', 'order', 'ring', 'gaps'],
    chart:
      'pattern: chop\nsections:\n  apart: |\n    1 1 6- 6-\n    2- 2- 5 5\n  round: |\n    1 6- 2- 5\n    1 6- 2- 5\nform: apart, round',
  },
  {
    id: 'both-families',
    title: 'Both families mixed',
    says: 'Four bars in one family, four in the other, and back. The numbers stay, the hand changes.',
    needs: ['same-shapes-higher', 'three-fingers'],
    keys: ['G', 'A', 'B'],
    bpm: 92,
    clean: 2,
    days: 1,
    kind: 'phrase',
    ways: ['order', 'fret', 'ring', 'gaps'],
    chart:
      'pattern: chop\nsections:\n  round: |\n    1 4 5 1\n    @key+5 1 4 5 1\n    @key-5 4 5 1 1\n    @key+5 4 5 1 1\n    @key-5 1 5 1 1',
  },
  {
    id: 'three-keys',
    title: 'One song through three keys, without looking',
    says: 'Look at the chart or at nothing, not at the hand. The song goes up twice: the first shape of the new key is where the ear wants it.',
    needs: ['both-families', 'minor-neighbours', 'upstroke'],
    keys: ['G', 'A'],
    bpm: 96,
    clean: 2,
    days: 1,
    kind: 'shuffled',
    ways: ['order', 'gaps', 'ring'],
    numbersOnly: true,
    chart:
      'pattern: chop\nform: first, second, third\nsections:\n  first: |\n    1 1 4 1\n    1 6- 5 1\n  second: |\n    @key+3 1 1 4 1\n    1 6- 5 1\n  third: |\n    @key+2 1 1 4 1\n    2- 5 1 1',
  },
  {
    id: 'from-calls',
    title: 'A song nobody has seen, from calls',
    says: 'A different song each time. The numbers come two beats before they are due, as if somebody called them.',
    needs: ['three-keys'],
    keys: ['G', 'A', 'D'],
    bpm: 100,
    clean: 2,
    days: 1,
    kind: 'unseen',
    ways: [],
    late: 2,
    chart: null,
  },
];

const byId = new Map(pathSteps.map((step) => [step.id, step]));

/** The step of a name; `null` for none. */
export function stepNamed(id: string): PathStep | null {
  return byId.get(id) ?? null;
}

/** What a step leads to. */
export function leadsTo(id: string): readonly PathStep[] {
  return pathSteps.filter(({ needs }) => needs.includes(id));
}

/** All steps that lie before one, however far. */
export function stepsBefore(id: string): ReadonlySet<string> {
  const found = new Set<string>();
  const wanted = [...(stepNamed(id)?.needs ?? [])];
  for (let one = wanted.pop(); one !== undefined; one = wanted.pop()) {
    if (found.has(one)) continue;
    found.add(one);
    wanted.push(...(stepNamed(one)?.needs ?? []));
  }
  return found;
}

/** Whether a pass was of a step as it counts; another way to practise it has another kind. */
export function isStepPass(entry: DiaryEntry): entry is DiaryEntry & { readonly step: string } {
  return entry.step !== undefined && stepNamed(entry.step)?.kind === entry.drill;
}
