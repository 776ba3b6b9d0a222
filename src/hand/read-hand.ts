import { didYouMean } from '../base/nearest.js';
import { fewNames, quoted } from '../base/safe-text.js';
import type { Faults } from '../chart/fault.js';
import { YamlFields } from '../chart/yaml-fields.js';
import type { Entry, Value } from '../chart/yaml-source.js';
import { qualityBySuffix } from '../theory/quality.js';
import { type Finger, fingerNames } from './fingering.js';
import { type PlayerHand, type Spans, usualHand } from './player-hand.js';
import { type Prices, usualPrices } from './prices.js';
import type { StockShape } from './stock.js';

const fingers = fingerNames.slice(1) as readonly string[];
const pairs: readonly (readonly [pair: keyof Spans, name: string])[] = [
  ['12', 'index-middle'],
  ['13', 'index-ring'],
  ['14', 'index-little'],
  ['23', 'middle-ring'],
  ['24', 'middle-little'],
  ['34', 'ring-little'],
];

/** A finger by its name, or `null`. */
export function fingerByName(name: string): Finger | null {
  const index = fingers.indexOf(name.trim());
  return index < 0 ? null : ((index + 1) as Finger);
}

/** Reads a hand: `reach:` by pairs of fingers in mm, `without: little`, `left-handed: yes`. What it does not say is as usual. */
export function readHand(entries: readonly Entry[], faults: Faults): PlayerHand {
  const fields = fieldsOf(entries, 'a hand', ['name', 'reach', 'without', 'left-handed'], faults);
  const spans: Record<string, number> = { ...usualHand.spans };
  const reach = fields.map('reach', 'write each reach on a line of its own below it: “  index-little: 95”');
  for (const { name, place, value } of reach) {
    const pair = pairs.find((one) => one[1] === name)?.[0];
    if (pair)
      spans[pair] = numberOf(value, `the reach ${name}`, 10, 200, 'mm', faults) ?? (spans[pair] as number);
    else
      faults.error(
        place,
        `${quoted(name)} is not a pair of fingers${didYouMean(
          name,
          pairs.map((one) => one[1]),
        )}; the pairs are ${pairs.map((one) => one[1]).join(', ')}`,
      );
  }
  const without = fields.text('without')?.split(',') ?? [];
  return {
    name: fields.text('name') ?? 'own',
    spans: spans as unknown as Spans,
    without: without.flatMap((name) => {
      const finger = fingerByName(name);
      if (finger === null)
        fields.fault(
          'without',
          `${quoted(name.trim())} is not a finger${didYouMean(name.trim(), fingers)}; the fingers are ${fingers.join(', ')}`,
        );
      return finger === null ? [] : [finger];
    }),
    leftHanded: leftHandedOf(fields),
  };
}

function leftHandedOf(fields: YamlFields): boolean {
  const text = fields.text('left-handed');
  if (text !== null && text !== 'yes' && text !== 'no')
    fields.fault('left-handed', `left-handed must be yes or no, not ${quoted(text)}`);
  return text === 'yes';
}

/** Reads prices of motion that replace the usual ones: `slope: 80`. */
export function readPrices(entries: readonly Entry[], faults: Faults): Prices {
  const names = Object.keys(usualPrices);
  fieldsOf(entries, 'the prices', names, faults);
  const own = entries.flatMap(({ name, value }): [string, number][] => {
    const number = names.includes(name) ? numberOf(value, name, 0, 2000, 'ms, mm or a share', faults) : null;
    return number === null ? [] : [[name, number]];
  });
  return { ...usualPrices, ...Object.fromEntries(own) };
}

/**
 * Reads a player's own stock shapes, a list of `chord: G`, `frets: 7-5-2-3`, `fingers: little ring index middle`: on
 * courses tuned G D A E, bass side first, a dash for a course not played.
 */
export function readShapes(value: Value, faults: Faults): StockShape[] {
  if (value.kind !== 'list') {
    faults.error(
      value.place,
      'shapes are a list: “  - chord: G”, below it “frets: 7-5-2-3” and “fingers: little ring index middle”',
    );
    return [];
  }
  return value.values.flatMap((one) =>
    one.kind === 'map' ? readShape(one.entries, one, faults) : wrong(one, faults),
  );
}

function wrong(value: Value, faults: Faults): StockShape[] {
  faults.error(
    value.place,
    'a shape has “chord: G”, “frets: 7-5-2-3” and “fingers: little ring index middle”',
  );
  return [];
}

function readShape(entries: readonly Entry[], value: Value, faults: Faults): StockShape[] {
  const fields = fieldsOf(entries, 'a shape', ['name', 'chord', 'frets', 'fingers'], faults);
  const [, root = '', suffix = ''] = /^([A-G][b#]?)(.*)$/.exec(fields.text('chord') ?? '') ?? [];
  const quality = root === '' ? null : qualityBySuffix(suffix);
  const frets = fields.text('frets') ?? '';
  const named = (fields.text('fingers') ?? '')
    .split(/\s+/)
    .map((name) => (name === '-' ? 'x' : fingerByName(name)));
  const courses = frets.split('-');
  const fits =
    /^(?:\d{1,2}|x)(?:-(?:\d{1,2}|x)){3}$/.test(frets) &&
    courses.length === named.length &&
    courses.every((at, course) => (at === 'x') === (named[course] === 'x') && named[course] !== null);
  if (!quality || !fits) return wrong(value, faults);
  return [
    {
      name: fields.text('name'),
      quality: quality.id,
      root,
      frets,
      fingers: [named.join('')],
      source: 'own',
    },
  ];
}

/** The fields of a map, after a warning of each that is none of `names`. */
function fieldsOf(
  entries: readonly Entry[],
  what: string,
  names: readonly string[],
  faults: Faults,
): YamlFields {
  const fields = new YamlFields(entries, faults);
  fields.warnUnknown(what, names, `use one of ${fewNames(names)}`);
  return fields;
}

function numberOf(
  value: Value,
  what: string,
  least: number,
  most: number,
  unit: string,
  faults: Faults,
): number | null {
  const text = value.kind === 'text' ? value.text.trim() : '';
  const number = Number(text);
  if (/^\d+(\.\d+)?$/.test(text) && number >= least && number <= most) return number;
  faults.error(value.place, `${what} ${quoted(text)} is not a number from ${least} to ${most} (${unit})`);
  return null;
}
