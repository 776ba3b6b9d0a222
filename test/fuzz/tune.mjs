// Tunes over the runs of a note: what a line of notes can be made of, in charts and in ABC.
import { readChart } from '../../dist/chart/read.js';
import { playedTune } from '../../dist/chart/tune/play-tune.js';
import { soundingNotes } from '../../dist/chart/tune/sounding.js';
import { chartInKey } from '../../dist/chart/tune/tune-in-key.js';
import { unroll } from '../../dist/chart/unroll.js';
import { writeChart } from '../../dist/chart/write.js';
import { abcTunes, readAbc } from '../../dist/exchange/abc-read.js';
import { chartFromSheet } from '../../dist/exchange/sheet-to-chart.js';
import { writtenChart } from '../../dist/exchange/written-chart.js';

const chart = (bars, notes) =>
  Buffer.from(`title: T\nkey: G\ntempo: 120\nsections:\n  A: |\n    ${bars}\ntune:\n  A: |\n    ${notes}\n`);
const abc = (notes, head = 'M:4/4\nL:1/8') => Buffer.from(`X:1\nT:T\n${head}\nK:G\n${notes}\n`);

const seeds = [
  chart('1 4', 'D | G2 AB c2 BA | G6 z :|'),
  chart('|: 1 [1st 5 ] :| [2nd 1 ]', '|: (3GAB c>d e2 d2- | [1 d2 ^c=c B/2A/2G A2 :| [2 g8 |'),
  chart('@3/4 1 @key=A 5', "(5:4:5A,B,CDE z2 | c'4 _b>>a |"),
  abc('D|:"G"G2 AB c2 BA|1 "D"A4 F3 D:|2 "G"G6 z2|]'),
  abc('((3GAB) c>d {e}e2 -e2|[GBd]2 ^c=c B/A/G z2::Z2:|'),
  abc("|:g2 e c'3|a>bg (4edcB:|P:B\n[K:D]A,2B, C3&z6|~D6|]", 'M:6/8\nL:1/8\nP:AAB'),
];
const tokens = [
  ...[
    'A',
    'b',
    "c'",
    'D,',
    '^F',
    '__B',
    '=c',
    'z',
    'x',
    'Z',
    'Z4',
    'X2',
    'y',
    '2',
    '3/2',
    '/',
    '//',
    '/4',
    '8',
  ],
  ...[
    '0',
    '99',
    '999999999',
    '>',
    '<',
    '>>',
    '<<<',
    '-',
    ' -',
    '(3',
    '((3',
    '(5:4:5',
    '(9',
    '(2:0:1',
    '(3::2',
    '(',
  ],
  ...[
    ')',
    '{a}',
    '{',
    '}',
    '[CEG]',
    '[A2c2]-',
    '[',
    ']',
    '|',
    '||',
    '|]',
    '|:',
    ':|',
    '::',
    ':::|',
    '|1 ',
    ':|2 ',
  ],
  ...[
    '[1,3 ',
    '[2 ',
    '1) ',
    '&',
    '"G"',
    '"^x"',
    '!fermata!',
    '!',
    '~',
    '.',
    '+',
    '\\',
    '\n',
    '\n    ',
    ' ',
    '%',
    '%%',
  ],
  ...[
    '[K:Dm]',
    '[M:3/4]',
    '[L:1/16]',
    '\nM:7/8\n',
    '\nP:B\n',
    '\nV:2\n',
    '@6/8 ',
    '@key+2 ',
    '1 ',
    '|: ',
    'é',
    '𝄞',
  ],
];

/** A tune with a few places changed; now and then one of them often, as what is slow is found only in long lines. */
function change(all, own, random) {
  let text = all[random(all.length)].toString('utf8');
  for (let count = 1 + random(5); count > 0; count -= 1) {
    const at = random(text.length + 1);
    const kind = random(4);
    const token = own[random(own.length)];
    const times = random(400) === 0 ? 1 + random(3000) : 1 + random(random(12) === 0 ? 12 : 1);
    if (kind === 0) text = text.slice(0, at) + text.slice(at + 1 + random(6));
    else if (kind === 1)
      text = text.slice(0, at) + text.slice(random(text.length), random(text.length)) + text.slice(at);
    else text = text.slice(0, at) + token.repeat(times) + text.slice(at + (kind === 3 ? 1 : 0));
  }
  return Buffer.from(text);
}

/** The notes of a chart as they sound, each with a place, a length and a pitch that can be played. */
function sounding(chart, key = chart.key) {
  const { bars, fault } = unroll(chart, { final: true });
  if (fault) throw new Error(`it does not unroll: ${fault.message}`);
  const notes = soundingNotes(playedTune(chart, bars, { home: key }), bars);
  for (const { at, parts, pitch } of notes)
    if (!(Number.isInteger(at) && Number.isInteger(parts) && parts > 0 && pitch >= 0 && pitch <= 127))
      throw new Error(`a note that cannot be played: ${at} ${parts} ${pitch}`);
  return notes;
}

const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

/** What was written of a chart reads again and sounds the same; in another key it has the same notes, moved. */
function holds(chart) {
  const own = sounding(chart);
  const again = readChart(Buffer.from(writeChart(chart)));
  if (!again.ok) throw new Error(`what was written does not read: ${again.faults[0]?.message}`);
  if (!same(sounding(again.value), own)) throw new Error('what was written sounds otherwise');
  const moved = sounding(chartInKey(chart, { ...chart.key, tonic: 'E' }), { ...chart.key, tonic: 'E' });
  if (moved.length !== own.length) throw new Error('in another key there are other notes');
}

/** Lines of notes in a chart's tune and in ABC. */
export const tuneKind = {
  seeds,
  tokens,
  change,
  longestMs: 500,
  attempt: (bytes) => {
    const text = bytes.toString('utf8');
    if (text.includes('tune:')) {
      const read = readChart(bytes);
      if (read.ok) holds(read.value);
      return read.ok;
    }
    let good = false;
    for (const tune of abcTunes(text).slice(0, 4)) {
      const made = chartFromSheet(readAbc(tune).sheet).chart;
      const written = writtenChart(made);
      if (!written.ok) continue;
      holds(made);
      good = true;
    }
    return good;
  },
};
