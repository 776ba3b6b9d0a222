import type { Topic } from '../../src/band/link.js';
import type { Message } from '../../src/band/messages.js';
import { idOf, songFromSource } from '../../src/band/song.js';
import {
  answerTopic,
  clockTopic,
  leadTopic,
  notedTopic,
  requestTopic,
  resultTopic,
  talkTopic,
  whoTopic,
} from '../../src/band/topics.js';
import { plainSong } from './songs.js';

/** A message of each kind from a stand, under its topic. */
export function samples(
  from: string,
  term = 3,
): readonly { readonly topic: Topic; readonly message: Message }[] {
  const own = { v: 1 as const, from, seq: 9 };
  const led = { ...own, term };
  return [
    {
      topic: leadTopic(from, 'claim'),
      message: { kind: 'claim', ...led, name: 'Ansa', gone: false, isClass: true },
    },
    {
      topic: leadTopic(from, 'song'),
      message: { kind: 'song', ...led, song: idOf(plainSong), source: plainSong },
    },
    {
      topic: leadTopic(from, 'set'),
      message: { kind: 'set', ...led, title: 'Evening', songs: [{ title: 'Osier Steps', key: 'G' }], at: 0 },
    },
    {
      topic: leadTopic(from, 'now'),
      message: {
        kind: 'now',
        ...led,
        body: {
          song: idOf(plainSong),
          state: 'running',
          take: `${from}.1`,
          setup: {
            key: 'G',
            bpm: 120,
            passes: null,
            countIn: 1,
            range: null,
            pattern: null,
            bass: null,
            ramp: { to: 1.2, bars: 8 },
            holds: true,
          },
          cursor: { bar: 0, pass: 1 },
          spans: [{ tick: 0, time: 12_345.678, msPerTick: 0.52083 }],
          places: [
            { tick: 0, pass: 1, bar: 0, into: 0, before: 0, counting: true, vamp: false },
            { tick: 19_200, pass: 1, bar: 2, into: 0, before: 4, counting: false, vamp: true },
          ],
          jump: { kind: 'ending', ticks: [40_000], bar: 4, pass: 2, passes: null },
          vamp: { bar: 2, cell: 0, pass: 1, from: 19_200, into: 0, until: null },
        },
      },
    },
    {
      topic: leadTopic(from, 'notes'),
      message: { kind: 'notes', ...led, lines: ['capo 2', 'softer in the last'] },
    },
    { topic: leadTopic(from, 'away'), message: { kind: 'away', ...led, ids: ['nobody'] } },
    { topic: answerTopic(from, 'me'), message: { kind: 'answer', ...led, t1: 1.5, t2: 2.5, t3: 2.75 } },
    { topic: notedTopic(from, 'me'), message: { kind: 'noted', ...led, ask: 2 } },
    { topic: clockTopic(from), message: { kind: 'question', ...own, t1: 1.5 } },
    { topic: whoTopic(from), message: { kind: 'hello', ...own, name: 'Orrin', part: 'banjo' } },
    { topic: whoTopic(from), message: { kind: 'goodbye', ...own } },
    { topic: talkTopic(from), message: { kind: 'talk', ...own, word: 'break', part: 'fiddle' } },
    { topic: requestTopic(from), message: { kind: 'request', ...own, ask: 2, title: 'that one in D' } },
    { topic: resultTopic(from), message: { kind: 'result', ...own, pass: 2, line: 'clean, 4 ms early' } },
  ];
}

/** The chart of the samples. */
export const sampleSong = songFromSource(idOf(plainSong), plainSong);
