import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Band, newBand } from '../../src/band/band.js';
import { bandHeard } from '../../src/band/hear.js';
import type { Topic } from '../../src/band/link.js';
import { type Message, mostBytesOf, mostChartBytes } from '../../src/band/messages.js';
import { bandTopics, leaderTopics, leadTopic, standTopics, talkTopic } from '../../src/band/topics.js';
import { decode, encode } from '../../src/band/wire.js';
import { isSafe } from '../../src/base/safe-text.js';
import { samples } from './samples.js';

const bytes = (value: unknown): Uint8Array => new TextEncoder().encode(JSON.stringify(value));
const mark = '\u001b[2J';

/** A stand that follows a leader and has heard a message of each kind but a goodbye. */
function following(): Band {
  let band = bandHeard(newBand({ name: 'Mina', part: 'bass' }), { kind: 'up', id: 'me' }, 0).band;
  for (const { topic, message } of samples('a1').filter((one) => one.message.kind !== 'goodbye'))
    band = bandHeard(band, { kind: 'message', topic, payload: encode(message), at: 5 }, 5).band;
  return band;
}

/** What a stand does when bytes come under a topic: nothing at all, or something. */
function changed(band: Band, topic: Topic, payload: Uint8Array): boolean {
  const step = bandHeard(band, { kind: 'message', topic, payload, at: 9 }, 9);
  if (step.events.length > 0 || step.publishes.length > 0 || step.subscribes.length > 0) return true;
  expect(step.band).toStrictEqual(band);
  return false;
}

describe('a message', () => {
  it.each(samples('a1').map((one) => [one.message.kind, one] as const))(
    '%s is read as it was written',
    (_, one) => {
      expect(decode(one.topic, encode(one.message))).toStrictEqual({ ok: true, value: one.message });
    },
  );

  it('is read only under its own topic, from its own stand', () => {
    for (const { message } of samples('a1'))
      for (const { topic, message: own } of samples('a1')) {
        const alike =
          topic.join() ===
          samples('a1')
            .find((one) => one.message.kind === message.kind)
            ?.topic.join();
        if (!alike) expect(decode(topic, encode(message)).ok).toBe(false);
        expect(
          decode(
            topic.map((level) => (level === 'a1' ? 'b2' : level)),
            encode(own),
          ).ok,
        ).toBe(false);
      }
  });

  it('shows no terminal anything that steers it', () => {
    const texts = (value: unknown): string[] =>
      typeof value === 'string'
        ? [value]
        : value && typeof value === 'object'
          ? Object.values(value).flatMap(texts)
          : [];
    const dirty: Partial<Record<Message['kind'], object>> = {
      claim: { name: mark },
      set: { title: mark, songs: [{ title: `a${mark}`, key: null }] },
      notes: { lines: [mark] },
      hello: { name: mark },
      request: { title: mark },
      result: { line: mark },
    };
    for (const { topic, message } of samples('a1')) {
      const more = dirty[message.kind];
      if (!more) continue;
      const read = decode(topic, encode({ ...message, ...more } as Message));
      expect(read.ok).toBe(true);
      if (read.ok) expect(texts(read.value).every(isSafe)).toBe(true);
    }
    const talk = { v: 1, from: 'a1', seq: 10, kind: 'talk', word: mark, part: null };
    expect(decode(talkTopic('a1'), bytes(talk)).ok).toBe(false);
  });

  it('of another version is told as such, and one that is too long is not even read', () => {
    const [claim] = samples('a1') as [{ topic: Topic; message: Message }];
    const foreign = decode(claim.topic, bytes({ ...claim.message, v: 2 }));
    expect(foreign).toMatchObject({ ok: false, fault: { why: 'version' } });
    const long = decode(claim.topic, new Uint8Array(mostBytesOf('claim') + 1));
    expect(long).toMatchObject({ ok: false, fault: { why: 'size' } });
  });

  it('may bring a chart of a mebibyte, and none that is longer', () => {
    const song = (source: string): boolean =>
      decode(
        leadTopic('a1', 'song'),
        encode({ v: 1, from: 'a1', seq: 1, term: 1, kind: 'song', song: 'x', source }),
      ).ok;
    expect(song('a\n'.repeat(mostChartBytes / 2))).toBe(true);
    expect(song('a'.repeat(mostChartBytes + 1))).toBe(false);
    expect(song('ä'.repeat(mostChartBytes / 2 + 1))).toBe(false);
  });
});

describe('what must change nothing', () => {
  const band = following();

  it('are bytes of any kind under any topic', () => {
    const topic = fc.oneof(
      fc.constantFrom(...samples('a1').map((one) => one.topic)),
      fc.constantFrom(...samples('zz').map((one) => one.topic)),
      fc.array(fc.string({ maxLength: 8 }), { maxLength: 4 }),
    );
    const payload = fc.oneof(
      fc.uint8Array({ maxLength: 200 }),
      fc.json().map((text) => new TextEncoder().encode(text)),
    );
    fc.assert(
      fc.property(topic, payload, (under, what) => {
        expect(changed(band, under, what)).toBe(false);
      }),
      { numRuns: 500 },
    );
  });

  it('are messages with a value that cannot be', () => {
    const wrong = fc.constantFrom(
      null,
      -1,
      1e300,
      0.5,
      '',
      mark,
      'x'.repeat(5000),
      [],
      {},
      [[1]],
      Array.from({ length: 5000 }, () => 1),
    );
    fc.assert(
      fc.property(fc.constantFrom(...samples('a1', 4)), fc.nat(), wrong, (one, at, value) => {
        const message = { ...one.message, seq: 50 } as Record<string, unknown>;
        const names = Object.keys(message).filter((name) => name !== 'lines' || value !== null);
        const name = names[at % names.length] as string;
        const made = bytes({ ...message, [name]: value });
        // A few of them are as good as what was there; all others must not be read.
        if (decode(one.topic, made).ok) return;
        expect(changed(band, one.topic, made)).toBe(false);
      }),
      { numRuns: 500 },
    );
  });

  it('is what came before, or has the number of what came before', () => {
    // An answer is known by its question: nobody has asked.
    for (const { topic, message } of samples('a1').filter((one) => one.message.kind !== 'goodbye')) {
      expect(changed(band, topic, encode(message))).toBe(false);
      if (message.kind !== 'answer') expect(changed(band, topic, encode({ ...message, seq: 8 }))).toBe(false);
    }
  });

  it('is what a leader of an earlier term says', () => {
    for (const { topic, message } of samples('0', 2))
      if ('term' in message) {
        const step = bandHeard(band, { kind: 'message', topic, payload: encode(message), at: 9 }, 9);
        // Only that there was something is remembered, for when that stand leads.
        const rest = { ...step.band, unheeded: band.unheeded };
        expect([step.events, step.publishes, rest]).toStrictEqual([[], [], band]);
        expect([...step.band.unheeded].every((id) => id === '0')).toBe(true);
      }
  });

  it('are messages of another version', () => {
    for (const { topic, message } of samples('a1', 9))
      expect(changed(band, topic, bytes({ ...message, v: 2, seq: 99 }))).toBe(false);
  });

  it('is a chart that does not read, and it is told', () => {
    const topic = leadTopic('a1', 'song');
    const made = encode({
      v: 1,
      from: 'a1',
      seq: 77,
      term: 3,
      kind: 'song',
      song: 'abc',
      source: 'title: none',
    });
    const step = bandHeard(band, { kind: 'message', topic, payload: made, at: 9 }, 9);
    expect(step.band.song).toBe(band.song);
    expect(step.events.map(({ kind }) => kind)).toStrictEqual(['unreadable']);
  });
});

describe('topics', () => {
  const ruleOf = (topic: Topic) =>
    bandTopics.filter(
      (rule) =>
        rule.topic.length === topic.length &&
        rule.topic.every((level, at) => level === topic[at] || level === '$id' || level === '$to'),
    );

  it('each have one rule, and their owner alone writes there', () => {
    for (const { topic, message } of samples('a1')) {
      const [rule, ...more] = ruleOf(topic);
      expect([rule?.write, more.length]).toStrictEqual([['owner'], 0]);
      expect(rule?.most).toBeGreaterThanOrEqual(encode(message).length);
    }
  });

  it('that are for the leader alone are read by nobody else, and an answer only by whoever asked', () => {
    const readers = (topic: Topic) => ruleOf(topic)[0]?.read;
    expect(['clock', 'request', 'result'].map((kind) => readers([kind, 'b2']))).toStrictEqual(
      Array.from({ length: 3 }, () => ['leader']),
    );
    for (const kind of ['clock', 'noted'])
      expect(readers(['lead', 'a1', kind, 'b2'])).toStrictEqual(['addressee']);
  });

  it('cover all that a stand or a leader subscribes to', () => {
    for (const topic of [...standTopics('me'), ...leaderTopics()])
      expect(ruleOf(topic.map((level) => (level === '+' ? 'a1' : level)))).toHaveLength(1);
  });
});
