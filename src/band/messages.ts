import * as v from 'valibot';
import { nowBody, songId } from './now.js';
import { partNames } from './parts.js';
import { idText, keyText, moment, passAt, sequence, shownText, termNumber, whole } from './schema.js';
import { talkWords } from './talk.js';

/** The version of all that is said here; what has another is not read. */
export const bandVersion = 1;

/** The most bytes of a chart, and of the messages by their kinds. */
export const mostChartBytes = 1024 * 1024;
/** A chart grows as a JSON text: line feeds and quotes have two characters there. */
const mostSongBytes = 2 * mostChartBytes + 4096;
const mostSetBytes = 512 * 1024;
const mostBytes = 32 * 1024;

/** How long a line of text is at most, and how many songs and lines there are. */
const mostLine = 200;
const mostSongs = 2000;
const mostNoteLines = 100;

const from = { v: v.literal(bandVersion), from: idText, seq: sequence };
const led = { ...from, term: termNumber };

const chartText = v.pipe(
  v.string(),
  v.maxLength(mostChartBytes),
  v.check((text) => new TextEncoder().encode(text).length <= mostChartBytes),
);

/** All messages, by kind. */
export const messageSchemas = {
  /** Leads, or gives up the lead. */
  claim: v.object({
    kind: v.literal('claim'),
    ...led,
    name: shownText(mostLine),
    gone: v.boolean(),
    /** It is a teacher's, to whom each student's pass goes back. */
    isClass: v.optional(v.boolean(), false),
  }),
  /** The chart that is played or comes next, as the text of a chart file, and the id that goes with it. */
  song: v.object({ kind: v.literal('song'), ...led, song: songId, source: chartText }),
  /** The running order, and which of its songs is at hand. */
  set: v.object({
    kind: v.literal('set'),
    ...led,
    title: shownText(mostLine),
    songs: v.pipe(
      v.array(v.object({ title: shownText(mostLine), key: v.nullable(keyText) })),
      v.maxLength(mostSongs),
    ),
    at: v.nullable(whole(0, mostSongs - 1)),
  }),
  now: v.object({ kind: v.literal('now'), ...led, body: nowBody }),
  /** Notes for all, line by line. */
  notes: v.object({
    kind: v.literal('notes'),
    ...led,
    lines: v.pipe(v.array(shownText(mostLine)), v.maxLength(mostNoteLines)),
  }),
  /** Who is turned away, by their ids. */
  away: v.object({ kind: v.literal('away'), ...led, ids: v.pipe(v.array(idText), v.maxLength(500)) }),
  /** Asks the leader's clock: `t1` is when, by the asker's. */
  question: v.object({ kind: v.literal('question'), ...from, t1: moment }),
  /** `t1` as asked; when the question came (`t2`) and the answer left (`t3`), by the leader's clock. */
  answer: v.object({ kind: v.literal('answer'), ...led, t1: moment, t2: moment, t3: moment }),
  /** A request was heard: `ask` as in the request. */
  noted: v.object({ kind: v.literal('noted'), ...led, ask: sequence }),
  /** Who a stand is. */
  hello: v.object({
    kind: v.literal('hello'),
    ...from,
    name: shownText(40),
    part: v.picklist(partNames),
  }),
  /** A stand has left; said by the broker for one that no longer can. */
  goodbye: v.object({ kind: v.literal('goodbye'), ...from }),
  /** A caller's word. */
  talk: v.pipe(
    v.object({
      kind: v.literal('talk'),
      ...from,
      word: v.picklist(talkWords),
      /** Who takes the break. */
      part: v.nullable(v.picklist(partNames)),
    }),
    v.check(({ word, part }) => (word === 'break') === (part !== null)),
  ),
  /** A song that is asked for, by its title or what somebody calls it. `ask`: its number, the same each time it is said. */
  request: v.object({ kind: v.literal('request'), ...from, ask: sequence, title: shownText(mostLine) }),
  /** A pass of a student, as one line. */
  result: v.object({ kind: v.literal('result'), ...from, pass: passAt, line: shownText(mostLine) }),
} as const;

/** The kinds of messages. */
export type MessageKind = keyof typeof messageSchemas;

/** A message of a kind, as it is read. */
export type MessageOf<K extends MessageKind> = Readonly<v.InferOutput<(typeof messageSchemas)[K]>>;

/** Any message. */
export type Message = { [K in MessageKind]: MessageOf<K> }[MessageKind];

/** What the leader says: all of it carries the term. */
export type LeaderMessage = Extract<Message, { readonly term: number }>;

/** How many bytes a message of a kind has at most. */
export function mostBytesOf(kind: MessageKind): number {
  if (kind === 'song') return mostSongBytes;
  return kind === 'set' ? mostSetBytes : mostBytes;
}
