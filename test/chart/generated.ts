import fc from 'fast-check';
import { qualities } from '../../src/theory/quality.js';

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

function bar(chord: fc.Arbitrary<string>): fc.Arbitrary<string> {
  const one = cell(chord);
  return fc.oneof(
    { weight: 8, arbitrary: one },
    {
      weight: 2,
      arbitrary: fc.array(one, { minLength: 1, maxLength: 4 }).map((cells) => `(${cells.join(' ')})`),
    },
    { weight: 1, arbitrary: fc.tuple(one, one).map(([first, second]) => `(${first}... ${second}.)`) },
  );
}

const change = fc.oneof(
  fc.integer({ min: 1, max: 11 }).map((steps) => `@key+${steps}`),
  fc.integer({ min: 1, max: 11 }).map((steps) => `@key-${steps}`),
  fc.integer({ min: 20, max: 400 }).map((bpm) => `@tempo=${bpm}`),
  fc.integer({ min: 50, max: 75 }).map((swing) => `@swing=${swing}`),
  fc.constantFrom('@3/4', '@4/4', '@2/2', '@6/8'),
  fc.integer({ min: 30, max: 99 }).map((percent) => `@rit=${percent}%`),
  fc.constantFrom('@wait', '@wait=2', '@wait=64'),
);
const words = fc.string({ unit: fc.constantFrom(..."abc XYZ,.:-#[](){}'&*!|>%@`é♭𝄞"), maxLength: 12 });

function phrase(chord: fc.Arbitrary<string>): fc.Arbitrary<string> {
  const some = fc.array(bar(chord), { minLength: 1, maxLength: 5 }).map((bars) => bars.join(' '));
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
    { weight: 1, arbitrary: fc.tuple(words, some).map(([cue, bars]) => `"${cue}" ${bars}`) },
  );
}

function body(chord: fc.Arbitrary<string>): fc.Arbitrary<string> {
  const line = fc.oneof(
    { weight: 8, arbitrary: phrase(chord) },
    { weight: 1, arbitrary: fc.tuple(phrase(chord), words).map(([bars, comment]) => `${bars} ;${comment}`) },
    { weight: 1, arbitrary: words.map((comment) => `;${comment}`) },
    { weight: 1, arbitrary: fc.constant('') },
  );
  return fc
    .tuple(phrase(chord), fc.array(line, { maxLength: 4 }))
    .map(([first, more]) => [first, ...more].map((text) => `    ${text}`.trimEnd()).join('\n'));
}

const section = fc.oneof({ weight: 3, arbitrary: body(number) }, { weight: 1, arbitrary: body(letter) });
const key = fc.constantFrom('A', 'Bb', 'F#m', 'Eb', 'G#m', 'C', 'Db');
const head = fc.record(
  {
    by: words,
    notes: words,
    feel: fc.constantFrom('swing=62', 'straight'),
    pattern: fc.constantFrom('low-chop', 'ring'),
    bass: fc.constantFrom('walk', 'plain'),
    pickup: fc.constantFrom('0', '1', '2'),
    midi: fc.integer({ min: 1, max: 128 }).map(String),
    range: fc.constantFrom("5, to 3'", '1 to b7', "b3,, to 1''"),
  },
  { requiredKeys: [] },
);
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
);

/** The text of a chart. Crooked, so that dots may be any. */
export const generatedChart: fc.Arbitrary<string> = fc
  .record({
    title: words,
    key,
    tempo: fc.constantFrom('200', 'half=118', 'dotted=90'),
    head,
    V: section,
    C: section,
    whos: fc.array(who, { minLength: 3, maxLength: 3 }),
  })
  .map(({ title, key: tonic, tempo, head: more, V, C, whos }) =>
    [
      '# a remark',
      `title: ${JSON.stringify(`T${title}`)}`,
      `key: ${tonic}`,
      `tempo: ${tempo}`,
      'crooked: yes',
      ...Object.entries(more).map(([name, value]) => `${name}: ${JSON.stringify(value)}`),
      `form: V${whos[0]}, C${whos[1]}, tag${whos[2]}`,
      'sections:',
      '  V: |',
      V,
      '  # before the chorus',
      '  C: |',
      C,
      '  tag: last 1 of V',
      '',
    ].join('\n'),
  );
