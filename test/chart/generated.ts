import fc from 'fast-check';
import { readChart } from '../../src/chart/read.js';
import { writeChart } from '../../src/chart/write.js';
import { qualities } from '../../src/theory/quality.js';
import { seeds, tuneFor } from './tune-generated.js';

/*
 * Charts as text, with every mark of the notation, that read without an error: what is generated is what a
 * person could have typed.
 */

const sign = fc.constantFrom('', '', '', 'b', '#');
const degree = fc.tuple(sign, fc.integer({ min: 1, max: 7 })).map(([mark, digit]) => `${mark}${digit}`);
const number = fc
  .tuple(degree, fc.constantFrom(...qualities.map((one) => one.mark)), fc.option(degree, { freq: 5 }))
  .map(([root, mark, bass]) => root + mark + (bass === null ? '' : `/${bass}`));
const letter = fc
  .tuple(
    fc.constantFrom(...'ABCDEFG'),
    fc.constantFrom('', '', 'b', '#'),
    fc.constantFrom(...qualities.map((one) => one.suffix)),
  )
  .map((parts) => parts.join(''));
const marks = fc.constantFrom('', '', '', '', '~', '!', '_', '_6', '_12');
const early = fc.constantFrom('', '', '', "'");

function cell(chord: fc.Arbitrary<string>): fc.Arbitrary<string> {
  return fc
    .tuple(
      early,
      fc.oneof({ weight: 12, arbitrary: chord }, { weight: 1, arbitrary: fc.constant('nc') }),
      marks,
    )
    .map(([push, name, mark]) => push + name + (name === 'nc' && mark.startsWith('_') ? '' : mark));
}

/** How many chords share a bar without dots, and dots that fill one: felt beats, quarters in cut time, eighths in 6/8 and 12/8. */
const shares = {
  '4/4': { even: [1, 2, 4, 8], dots: ['... .', '.. . .', '. . . .'] },
  '3/4': { even: [1, 3, 6], dots: ['.. .', '. ..'] },
  '2/2': { even: [1, 2, 4], dots: ['. .', '... .', '. ...', '.. . .'] },
  '6/8': { even: [1, 2, 6], dots: ['. .', '.. ....', '..... .', '.. .. ..'] },
  '12/8': { even: [1, 2, 4, 12], dots: ['... .', '. ...........', '...... ..... .'] },
} as const;
type MeterText = keyof typeof shares;

/** The meter that bars are in, and whether they may be of any length. */
interface BarKind {
  readonly meter: MeterText;
  readonly crooked: boolean;
}

function bar(chord: fc.Arbitrary<string>, { meter, crooked }: BarKind): fc.Arbitrary<string> {
  const one = cell(chord);
  const { even, dots } = shares[meter];
  const ways = crooked ? [...dots, '... .', '..... . ..', '.'] : dots;
  return fc.oneof(
    { weight: 8, arbitrary: one },
    {
      weight: 2,
      arbitrary: fc
        .constantFrom(...even)
        .chain((count) => fc.array(one, { minLength: count, maxLength: count }))
        .map((cells) => `(${cells.join(' ')})`),
    },
    {
      weight: 1,
      arbitrary: fc
        .constantFrom(...ways)
        .chain((way) => fc.tuple(...way.split(' ').map((own) => one.map((text) => text + own))))
        .map((cells) => `(${cells.join(' ')})`),
    },
  );
}

const change = fc.oneof(
  fc.integer({ min: 1, max: 11 }).map((steps) => `@key+${steps}`),
  fc.integer({ min: 1, max: 11 }).map((steps) => `@key-${steps}`),
  fc.integer({ min: 20, max: 400 }).map((bpm) => `@tempo=${bpm}`),
  fc.integer({ min: 50, max: 75 }).map((swing) => `@swing=${swing}`),
  fc.constantFrom('@key=A', '@key=F#m', '@key=Eb', '@key=G#m', '@key=C'),
  fc.integer({ min: 30, max: 99 }).map((percent) => `@rit=${percent}%`),
  fc.constantFrom('@wait', '@wait=2', '@wait=64'),
);
const words = fc.string({ unit: fc.constantFrom(..."abc XYZ,.:-#[](){}'&*!|>%@`é♭𝄞"), maxLength: 12 });

function phrase(chord: fc.Arbitrary<string>, kind: BarKind): fc.Arbitrary<string> {
  const barsIn = (meter: MeterText): fc.Arbitrary<string> =>
    fc.array(bar(chord, { ...kind, meter }), { minLength: 1, maxLength: 5 }).map((bars) => bars.join(' '));
  const some = barsIn(kind.meter);
  // Chords share a bar of the meter it is played in: what a phrase changes it takes back.
  const elsewhere = fc
    .constantFrom('3/4' as const, '2/2' as const, '6/8' as const, '4/4' as const)
    .chain((meter) => barsIn(meter).map((bars) => `@${meter} ${bars} @${kind.meter}`));
  return fc.oneof(
    { weight: 5, arbitrary: some },
    {
      weight: 1,
      arbitrary: fc
        .tuple(some, fc.constantFrom('', ' x2', ' x7'))
        .map(([bars, times]) => `|: ${bars} :|${times}`),
    },
    {
      weight: 1,
      arbitrary: fc
        .tuple(some, some, some)
        .map(([body, first, second]) => `|: ${body} [1st ${first} ] [2nd,3rd ${second} ] :|`),
    },
    { weight: 1, arbitrary: fc.tuple(some, some).map(([bars, last]) => `${bars} [last ${last} ]`) },
    { weight: 1, arbitrary: fc.tuple(some, some).map(([bars, more]) => `${bars} = ${more}`) },
    { weight: 1, arbitrary: fc.tuple(change, some).map((parts) => parts.join(' ')) },
    { weight: 1, arbitrary: elsewhere },
    { weight: 1, arbitrary: fc.tuple(words, some).map(([cue, bars]) => `"${cue}" ${bars}`) },
  );
}

const verse = fc.constantFrom('', '', '1. ', '2. ', '3. ');

function body(chord: fc.Arbitrary<string>, kind: BarKind): fc.Arbitrary<string> {
  const line = fc.oneof(
    { weight: 8, arbitrary: phrase(chord, kind) },
    {
      weight: 1,
      arbitrary: fc.tuple(phrase(chord, kind), words).map(([bars, comment]) => `${bars} ;${comment}`),
    },
    { weight: 1, arbitrary: words.map((comment) => `;${comment}`) },
    { weight: 2, arbitrary: fc.tuple(verse, words).map(([mark, text]) => `> ${mark}w${text}`) },
    { weight: 1, arbitrary: fc.constant('') },
  );
  return fc
    .tuple(phrase(chord, kind), fc.array(line, { maxLength: 4 }))
    .map(([first, more]) => [first, ...more].map((text) => `    ${text}`.trimEnd()).join('\n'));
}

function sectionIn(kind: BarKind): fc.Arbitrary<string> {
  return fc.oneof({ weight: 3, arbitrary: body(number, kind) }, { weight: 1, arbitrary: body(letter, kind) });
}
const kinds = fc.record({
  meter: fc.constantFrom(...(Object.keys(shares) as MeterText[])),
  crooked: fc.boolean(),
});
const key = fc.constantFrom('A', 'Bb', 'F#m', 'Eb', 'G#m', 'C', 'Db');
const head = fc.record(
  {
    by: words,
    notes: words,
    feel: fc.constantFrom('swing=62', 'straight'),
    pattern: fc.constantFrom('low-chop', 'ring'),
    bass: fc.constantFrom('walk', 'plain'),
    pickup: fc.constantFrom('0', '1'),
    midi: fc.integer({ min: 1, max: 128 }).map(String),
    cues: fc.constant('tune'),
    tags: fc.constantFrom('waltz', 'fast, jam', 'level 1, Ansa’s, slow'),
    range: fc.constantFrom("5, to 3'", '1 to b7', "b3,, to 1''"),
  },
  { requiredKeys: [] },
);
/** A section that is made of pieces, with bars between them. */
function pieces(chord: fc.Arbitrary<string>, kind: BarKind): fc.Arbitrary<string> {
  const taken = fc.constantFrom('last 1 of V', 'first 1 of C', 'bars 1-1 of V', 'all of C');
  const own = fc
    .tuple(
      fc.constantFrom('', '', '"in + out" ', '@tempo=90 '),
      fc.array(bar(chord, kind), { minLength: 1, maxLength: 3 }),
    )
    .map(([before, bars]) => before + bars.join(' '));
  return fc
    .tuple(
      taken,
      fc.array(fc.oneof(taken, own), { maxLength: 3 }),
      fc.nat(),
      fc.constantFrom(' + ', '\n    + '),
    )
    .map(([one, more, at, plus]) => more.toSpliced(at % (more.length + 1), 0, one).join(plus));
}

/** A form word with its marks: in front of the first line of V, after it, and after the first line of C. */
interface Way {
  readonly word: string;
  readonly marks: readonly [front: string, behind: string, behindC: string];
}
const ways: readonly Way[] = [
  { word: '', marks: ['', '', ''] },
  { word: '', marks: ['', '', ''] },
  { word: 'from sign to coda', marks: ['@sign ', '', ' @to-coda'] },
  { word: 'from top to coda', marks: ['', ' @to-coda', ''] },
  { word: 'from sign', marks: ['@sign ', '', ''] },
  { word: 'from top', marks: ['', '', ''] },
  { word: 'from sign to fine', marks: ['@sign ', '', ' @fine'] },
  { word: 'from top to fine', marks: ['', ' @fine', ''] },
];

/** A section's text with marks round its first line, which is a phrase. */
function marked(text: string, front: string, behind: string): string {
  const [first = '', ...more] = text.split('\n');
  return [`    ${front}${first.slice(4)}${behind}`, ...more].join('\n');
}

const once = fc.constantFrom('', ' (banjo)', ' (me, soft)', ' (: ring, walk)');
const who = fc.constantFrom(
  '',
  ' (fiddle)',
  ' (me)',
  ' (me: ring)',
  ' (: ring)',
  ' x3',
  ' x2 (banjo)',
  ' (soft)',
  ' (me: ring, up, walk) x2',
  ' (banjo, full)',
  ' (: chop, plain)',
  ' (key D)',
  ' (banjo, key F#m, soft) x2',
  ' (me: ring, key Bb)',
);

/** The text of a chart without a tune: in one of the usual meters, crooked or not. */
export const generatedPlainChart: fc.Arbitrary<string> = kinds
  .chain((kind) =>
    fc.record({
      kind: fc.constant(kind),
      title: words,
      key,
      tempo: fc.constantFrom('200', 'half=118', 'dotted=90'),
      head,
      V: sectionIn(kind),
      C: sectionIn(kind),
      whos: fc.array(who, { minLength: 3, maxLength: 3 }),
      tag: fc.oneof(
        { weight: 2, arbitrary: fc.constant('last 1 of V') },
        { weight: 2, arbitrary: pieces(number, kind) },
        { weight: 1, arbitrary: pieces(letter, kind) },
      ),
      way: fc.constantFrom(...ways),
      options: once,
    }),
  )
  .map(({ kind, title, key: tonic, tempo, head: more, V, C, whos, tag, way: wanted, options }) => {
    // A way that leaves amid a section may leave in another meter than the one that is taken back after it.
    const way = /@\d/.test(V + C) ? (ways[0] as Way) : wanted;
    const word = way.word === '' ? [] : [`${way.word}${options}`];
    const parts = [`V${whos[0]}`, `C${whos[1]}`, `tag${whos[2]}`];
    // After the end stands nothing; else the word stands before the last section.
    const form = way.word.endsWith('fine') ? [...parts, ...word] : parts.toSpliced(2, 0, ...word);
    const [front, behind, behindC] = way.marks;
    // A piece is taken without the change that takes another meter back: what follows it would be in that one.
    const made = /@\d/.test(V + C) ? 'last 1 of V' : tag;
    return [
      '# a remark',
      `title: ${JSON.stringify(`T${title}`)}`,
      `key: ${tonic}`,
      `tempo: ${tempo}`,
      `meter: ${kind.meter}`,
      ...(kind.crooked ? ['crooked: yes'] : []),
      ...Object.entries(more).map(([name, value]) => `${name}: ${JSON.stringify(value)}`),
      `form: ${form.join(', ')}`,
      'sections:',
      '  V: |',
      marked(V, front, behind),
      '  # before the chorus',
      '  C: |',
      marked(C, '', behindC),
      '  tag: |',
      `    ${made}`,
      '',
    ].join('\n');
  });

/** A chart's text with a tune made for its sections, as `writeChart` has it, in place of a range, which the tune could contradict. */
function withTune(text: string, seed: number): string {
  const plain = text.replace(/^range:.*\n/m, '');
  const read = readChart(new TextEncoder().encode(plain));
  if (!read.ok) return text;
  const tune = tuneFor(read.value, seed);
  if (tune.length === 0) return text;
  const written = writeChart({ ...read.value, tune });
  return plain + written.slice(written.lastIndexOf('\ntune:\n') + 1);
}

/** The text of a chart, one of three with a tune. */
export const generatedChart: fc.Arbitrary<string> = fc
  .tuple(generatedPlainChart, seeds)
  .map(([text, seed]) => (seed % 3 === 0 ? withTune(text, seed) : text));
