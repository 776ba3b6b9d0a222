import { didYouMean } from '../base/nearest.js';
import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import { type Key, parseKey } from '../theory/key.js';
import { parseFeel, parseMeter, parseTempo } from './change.js';
import type { Chart, RangeNote } from './chart.js';
import type { Faults } from './fault.js';
import { type BassLine, bassWords, isBassLine } from './level.js';
import { readTags } from './read-tags.js';
import { startOf, YamlFields } from './yaml-fields.js';
import type { Entry } from './yaml-source.js';

/** Every name a chart's head may have. */
export const headNames = [
  'title',
  'by',
  'notes',
  'key',
  'tempo',
  'meter',
  'feel',
  'pattern',
  'bass',
  'pickup',
  'singers',
  'range',
  'cues',
  'tags',
  'instrument',
  'midi',
  'crooked',
  'form',
  'sections',
  'tune',
] as const;

/** What a chart's head says, with defaults where it is silent. */
export type Head = Pick<
  Chart,
  | 'title'
  | 'by'
  | 'notes'
  | 'key'
  | 'tempo'
  | 'meter'
  | 'feel'
  | 'pattern'
  | 'bass'
  | 'pickup'
  | 'singers'
  | 'range'
  | 'cues'
  | 'tags'
  | 'instrument'
  | 'midi'
  | 'crooked'
>;

/** Reads a chart's head. Whatever cannot be read gets its default, so that the rest can be checked too. */
export function readHead(entries: readonly Entry[], faults: Faults): Head {
  const reader = new HeadReader(entries, faults);
  reader.warnUnknown("a chart's head", headNames);
  const bass = reader.parsed('bass', parseBass);
  const cues = reader.parsed('cues', parseCues);
  if (cues && !reader.value('tune'))
    faults.warning(
      reader.place('cues'),
      'there is no tune to take cues from; write one below “tune:”, or leave this out',
    );
  const tags = readTags(reader.value('tags'), faults);
  return {
    title: reader.text('title') ?? reader.missing('title', 'title: Rowan Ferry', ''),
    by: reader.text('by'),
    notes: reader.text('notes'),
    key:
      reader.parsed('key', parseKey) ??
      reader.missing('key', 'key: A', { tonic: 'C', mode: 'major' } as const),
    tempo: reader.parsed('tempo', parseTempo) ?? { bpm: 120, count: 'quarter' },
    meter: reader.parsed('meter', parseMeter) ?? { beats: 4, unit: 4 },
    feel: reader.parsed('feel', parseFeel) ?? { swing: 50 },
    pattern: reader.text('pattern'),
    ...(bass ? { bass } : {}),
    pickup: reader.whole('pickup', 0, 16) ?? 0,
    singers: reader.singers(),
    range: reader.parsed('range', parseRange),
    ...(cues ? { cues } : {}),
    ...(tags.length > 0 ? { tags } : {}),
    instrument: reader.text('instrument'),
    midi: reader.whole('midi', 1, 128),
    crooked: reader.yes('crooked'),
  };
}

function parseBass(text: string): Outcome<BassLine> {
  const word = text.trim();
  if (isBassLine(word)) return good(word);
  return misread(
    `${quoted(word)} is not a way to play the bass${didYouMean(word, bassWords)}; write ${bassWords.join(' or ')}`,
  );
}

function parseCues(text: string): Outcome<NonNullable<Chart['cues']>> {
  const word = text.trim();
  if (word === 'tune') return good(word);
  return misread(
    `${quoted(word)} is not a source of cues${didYouMean(word, ['tune'])}; write “cues: tune”, or put your own cue in double quotes before its bar`,
  );
}

class HeadReader extends YamlFields {
  missing<T>(name: string, example: string, instead: T): T {
    if (!this.value(name))
      this.faults.error({ line: 1, column: 1 }, `the head has no ${name}; write “${example}”`);
    return instead;
  }

  yes(name: string): boolean {
    const yes = this.parsed<boolean>(name, (word) =>
      word === 'yes' || word === 'no'
        ? good(word === 'yes')
        : misread(`${name} must be yes or no, not ${quoted(word)}`),
    );
    return yes ?? false;
  }

  singers(): { name: string; key: Key }[] {
    const singers = this.map(
      'singers',
      'write singers as names with keys, one on each line below it: “  Ansa: Bb”',
    );
    return singers.flatMap(({ name, place, value: key }) => {
      const outcome = key.kind === 'text' ? parseKey(key.text) : parseKey('');
      if (outcome.ok) return [{ name, key: outcome.value }];
      this.faults.error(key.kind === 'text' ? startOf(key) : place, outcome.fault.message);
      return [];
    });
  }
}

/** Reads the lowest and highest degree sung: `5, to 3'`. */
export function parseRange(text: string): Outcome<{ low: RangeNote; high: RangeNote }> {
  const [first = '', to, second = '', ...more] = text.trim().split(/\s+/);
  const low = rangeNote(first);
  const high = rangeNote(second);
  if (to === 'to' && more.length === 0 && low && high && height(low) < height(high))
    return { ok: true, value: { low, high } };
  return {
    ok: false,
    fault: {
      at: 0,
      message: `${quoted(text)} is not a range; write the lowest and the highest degree of the melody, as in “5, to 3'” (a comma: an octave down; a tick: an octave up)`,
    },
  };
}

function rangeNote(text: string): RangeNote | null {
  const match = /^([b#]?)([1-7])(,{0,2}|'{0,2})$/.exec(text);
  if (!match) return null;
  const marks = match[3] ?? '';
  return {
    degree: Number(match[2]),
    alter: match[1] === 'b' ? -1 : match[1] === '#' ? 1 : 0,
    octave: marks.startsWith(',') ? -marks.length : marks.length,
  };
}

/** Half steps of a sung degree above the tonic of octave 0. */
export function height(note: RangeNote): number {
  return ([0, 2, 4, 5, 7, 9, 11][note.degree - 1] as number) + note.alter + 12 * note.octave;
}
