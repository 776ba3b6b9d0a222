// Messages of a band: what they begin with, and what must hold of whatever comes under a topic.

import { newBand } from '../../dist/band/band.js';
import { bandHeard } from '../../dist/band/hear.js';
import { idOf } from '../../dist/band/song.js';
import { decode, encode } from '../../dist/band/wire.js';
import { isSafe } from '../../dist/base/safe-text.js';

const leader = 'a1';
const source = 'title: Osier Steps\nkey: G\ntempo: 120\nmeter: 4/4\nsections:\n  V: |\n    1 4 5 1\n';
const led = { v: 1, from: leader, seq: 9, term: 3 };
const setup = {
  key: 'G',
  bpm: 120,
  passes: null,
  countIn: 1,
  range: null,
  pattern: null,
  bass: null,
  ramp: null,
  holds: true,
};

/** A message of each kind that says much, with where it stands. */
const messages = [
  [['lead', leader, 'claim'], { kind: 'claim', ...led, name: 'Ansa', gone: false }],
  [['lead', leader, 'song'], { kind: 'song', ...led, song: idOf(source), source }],
  [
    ['lead', leader, 'set'],
    { kind: 'set', ...led, title: 'Evening', songs: [{ title: 'Osier Steps', key: 'G' }], at: 0 },
  ],
  [
    ['lead', leader, 'now'],
    {
      kind: 'now',
      ...led,
      body: {
        song: idOf(source),
        state: 'running',
        take: 'a1.1',
        setup,
        cursor: { bar: 0, pass: 1 },
        spans: [{ tick: 0, time: 12_345.678, msPerTick: 0.52083 }],
        places: [{ tick: 19_200, pass: 1, bar: 2, into: 0, before: 4, counting: false, vamp: true }],
        jump: { kind: 'ending', ticks: [40_000], bar: 3, pass: 2, passes: null },
        vamp: { bar: 2, cell: 0, pass: 1, from: 19_200, into: 0, until: null },
      },
    },
  ],
  [['who', leader], { kind: 'hello', v: 1, from: leader, seq: 9, name: 'Orrin', part: 'banjo' }],
  [['lead', leader, 'noted', 'me'], { kind: 'noted', ...led, ask: 2 }],
  [['request', leader], { kind: 'request', v: 1, from: leader, seq: 9, ask: 2, title: 'that one in D' }],
  [['talk', leader], { kind: 'talk', v: 1, from: leader, seq: 9, word: 'break', part: 'fiddle' }],
];

const topics = [
  ...messages.map(([topic]) => topic),
  ['lead', leader, 'notes'],
  ['lead', leader, 'clock', 'me'],
];

function texts(value) {
  if (typeof value === 'string') return [value];
  return value && typeof value === 'object' ? Object.values(value).flatMap(texts) : [];
}

/** What is read shows nothing that steers a terminal, and reads the same once more; a stand bears whatever comes. */
function attempt(bytes) {
  let good = false;
  for (const topic of topics) {
    const read = decode(topic, bytes);
    if (!read.ok) continue;
    good = true;
    const { source: chart, ...shown } = read.value;
    if (!texts(shown).every(isSafe)) throw new Error('a text that steers a terminal');
    const again = decode(topic, encode(read.value));
    if (!again.ok || JSON.stringify(again.value) !== JSON.stringify(read.value))
      throw new Error('what was read is written otherwise');
    if (chart !== undefined && typeof chart !== 'string') throw new Error('a chart that is not text');
  }
  const joined = bandHeard(newBand({ name: 'Mina', part: 'bass' }), { kind: 'up', id: 'me' }, 0).band;
  for (const topic of topics) bandHeard(joined, { kind: 'message', topic, payload: bytes, at: 1 }, 1);
  return good;
}

/** What is fuzzed of the band. */
export const bandKind = {
  seeds: messages.map(([, message]) => encode(message)).map((bytes) => Buffer.from(bytes)),
  tokens: [
    '"v":1',
    '"v":2',
    '"from":"a1"',
    '"term":',
    'null',
    '[',
    ']',
    '{',
    '}',
    '1e308',
    '-1',
    '\\u001b',
    '"running"',
  ],
  longestMs: 200,
  attempt,
};
