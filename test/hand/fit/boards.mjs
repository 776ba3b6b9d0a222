// Published fingerings, bass side first: 1 index to 4 little; one digit twice is one finger lying across.
import { instruments, mandolin } from '../../../dist/hand/instrument.js';

const ukulele = instruments.find(({ id }) => id === 'ukulele');

/** A line for each board: chord, frets, the fingers that are right, the first of them the usual ones. */
function boards(instrument, lines) {
  return lines
    .trim()
    .split('\n')
    .map((line) => {
      const [chord, written, ...fingers] = line.trim().split(' ');
      return { chord, written, fingers, instrument };
    });
}

/** GNU LilyPond 2.24.1, `predefined-mandolin-fretboards.ly`: its closed majors, minors and sevenths. */
export const published = boards(
  mandolin,
  `
  B 4-4-6-7 1134
  Db 6-3-4-1 4231
  Eb 3-1-1-3 3114
  F# 3-4-4-2 2341
  Ab 1-1-3-4 1134
  Bbm 3-3-4-6 1124
  Cm 5-5-6-8 1124
  Ebm 3-1-1-2 3112
  Fm 1-3-3-1 1341
  F#m 2-4-4-2 1341
  Abm 1-1-2-4 1124
  A7 2-2-4-3 1132
  Bb7 3-3-5-4 1132
  B7 4-4-6-5 1132
  Db7 6-3-2-4 4213
  Eb7 3-1-4-3 2143
  F7 2-1-3-1 2131
  F#7 3-2-4-2 2131
  Ab7 1-1-3-2 1132
`,
);

/** What mandolin players hold by habit (common practice, no source). */
export const practice = boards(
  mandolin,
  `
  G 7-5-2-3 4312
  D 7-4-5-x 312x 423x
  C 5-2-3-x 312x
  A 2-2-4-5 1134
  Dm 7-3-5-x 413x
  Am 2-2-3-5 1124
  Em 4-2-2-3 3112
  Em x-2-2-3 x112
  Gm x-5-1-3 x413 x312
  Gm 7-5-5-6 3112
  F 5-3-3-5 3114
  G7 7-3-2-3 4213
  D7 7-4-3-x 421x
`,
);

/**
 * What ukulele players hold (from memory, common practice). No price is learned from it, but what is measured was chosen
 * with it in sight: it shows that one set of prices serves both instruments, not how well unseen boards are foretold.
 */
export const ukulelePractice = boards(
  ukulele,
  `
  C 0-0-0-3 xxx3
  F 2-0-1-0 2x1x
  G 0-2-3-2 x132
  D 2-2-2-0 123x 111x 234x
  A 2-1-0-0 21xx
  Bb 3-2-1-1 3211
  B 4-3-2-2 3211
  Eb 0-3-3-1 x341 x231
  Ab 5-3-4-3 3121
  E 4-4-4-2 2341 3331
  Am 2-0-0-0 2xxx
  Dm 2-2-1-0 231x
  Em 0-4-3-2 x321
  Gm 0-2-3-1 x231
  Cm 0-3-3-3 x111
  Bm 4-2-2-2 3111
  F#m 2-1-2-0 213x 213x
  Fm 1-0-1-3 1x24
  C7 0-0-0-1 xxx1
  A7 0-1-0-0 x1xx
  G7 0-2-1-2 x213
  E7 1-2-0-2 12x3
  B7 2-3-2-2 1211
  Bb7 1-2-1-1 1211
  D7 2-2-2-3 1112
  Dm7 2-2-1-3 2314 2213
  Db 1-1-1-4 1114
  D6 2-2-2-2 1111
  Cmaj7 0-0-0-2 xxx2
`,
);
