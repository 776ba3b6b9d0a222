import { join } from 'node:path';
import { didYouMean } from '../base/nearest.js';
import { fewNames, quoted } from '../base/safe-text.js';
import { Faults } from '../chart/fault.js';
import { parseVoiceRange, type VoiceRange } from '../chart/fit.js';
import { YamlFields } from '../chart/yaml-fields.js';
import { parseYaml, sizeLimit } from '../chart/yaml-source.js';
import type { EarSpec } from '../ear/messages.js';
import { parseEar } from '../ear/spec.js';
import { type HomeWish, parseHome } from '../hand/home.js';
import { type NeckSetting, usualNeckSetting } from '../hand/neck-sight.js';
import { hands, type PlayerHand, usualHand } from '../hand/player-hand.js';
import { type Prices, usualPrices } from '../hand/prices.js';
import { readHand, readPrices, readShapes } from '../hand/read-hand.js';
import { type StockShape, stockShapes } from '../hand/stock.js';
import { type Level, levels } from '../listen/limits.js';
import { type Pedal, parsePedal, pedalUses } from '../playback/pedals.js';
import type { InSpec } from '../player/messages.js';
import { type OutSetting, parseOutSetting } from '../player/out-settings.js';
import { outText, parseIn, parseOut } from '../player/out-spec.js';
import { type MelodyWord, melodyWords } from '../time/melody.js';
import { readMilliseconds, readVoices, type SoundAndMix } from '../time/read-sound.js';
import { type Mix, type Sound, usualMix, usualSound } from '../time/sound.js';
import { folderRemarks, folders } from './folders.js';
import { readRegular } from './regular.js';
import { settingNames } from './setting-words.js';
import { notWritten } from './why-not.js';

/** What the user has set, in `settings.yaml` in the config folder. */
export interface Settings {
  /** What each singer can sing: `singers:` and below it `  Ansa: A3-D5`. */
  readonly singers: ReadonlyMap<string, VoiceRange>;
  /** `hand: small`, or `hand:` with its own lines. */
  readonly hand: PlayerHand;
  /** `home: low`, `high`, or `5-9`: where on the neck the hand is wanted. */
  readonly home: HomeWish;
  /** `prices:` of motion. */
  readonly prices: Prices;
  /** The trade's stock shapes, or of them those that are `known:` by name, and the player's own `shapes:`. */
  readonly shapes: readonly StockShape[];
  /** `voices:`, `chop:` and `spread:`. */
  readonly sound: Sound;
  readonly mix: Mix;
  /** `melody: others`: where the tune of a chart is heard. */
  readonly melody: MelodyWord;
  /** `outputs:` by their names on the command line: `sound: offset 12`. */
  readonly outputs: ReadonlyMap<string, OutSetting>;
  /** `keys:` by action, `play: space, p`; which actions and keys there are is the screen's affair. */
  readonly keys: ReadonlyMap<string, readonly string[]>;
  /** `pedals:` by what they are for, `extend: control 64`, `next: control 64, long`; with `from: midi:NAME` only that source is listened to. */
  readonly pedals: { readonly known: readonly Pedal[]; readonly from: InSpec | null };
  /** `neck: left-handed, ceiling up, say ceiling`. */
  readonly neck: NeckSetting;
  /** `rest: 25`, minutes; `null` for `off`, `undefined` where nothing is said. */
  readonly rest: number | null | undefined;
  /** `ladder: from 60%, up after 2`: where tempo ladders start, and after how many clean passes they go up. */
  readonly ladder: { readonly start: number | null; readonly inRow: number };
  /** `target: 90%`: the share of a chart's tempo that practice aims at. */
  readonly target: number;
  /** `listen: on, steady`: whether the stand listens from the start, and how strictly passes are judged. */
  readonly listen: { readonly on: boolean; readonly level: Level };
  /** `microphone: NAME`, as `--microphone` has it; `null` where nothing is said. */
  readonly microphone: EarSpec | null;
  /** `background: light` or `dark`. */
  readonly background: 'light' | 'dark' | null;
}

const usualSettings: Settings = {
  singers: new Map(),
  hand: usualHand,
  home: 'low',
  prices: usualPrices,
  shapes: stockShapes,
  sound: usualSound,
  mix: usualMix,
  melody: 'sound',
  outputs: new Map(),
  keys: new Map(),
  pedals: { known: [], from: null },
  neck: usualNeckSetting,
  rest: undefined,
  target: 1,
  ladder: { start: null, inRow: 2 },
  listen: { on: false, level: 'steady' },
  microphone: null,
  background: null,
};

/** What the screen knows: its actions, and whether a text names a key. */
export interface ScreenWords {
  readonly actions: readonly string[];
  readonly isKey: (text: string) => boolean;
}

/** If no screen is opened, its words do not matter. */
const anyWords: ScreenWords = { actions: [], isKey: () => true };

/** The settings, and sentences about what in them, or in where they are looked for, is at fault: the rest holds all the same. */
export function readSettings(
  folder: string = folders.config,
  screen: ScreenWords = anyWords,
): {
  settings: Settings;
  faults: readonly string[];
  file: string;
} {
  const file = join(folder, 'settings.yaml');
  let bytes: Uint8Array;
  try {
    bytes = readRegular(file, sizeLimit);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const missing = code === 'ENOENT' || code === 'ENOTDIR';
    const faults = missing ? [] : [`${file} cannot be read: ${notWritten(error).message}`];
    return { settings: usualSettings, faults: [...folderRemarks, ...faults], file };
  }
  const faults = new Faults();
  const entries = parseYaml(bytes, faults)?.entries ?? [];
  for (const { name, place } of entries) {
    if (!settingNames.includes(name))
      faults.error(
        place,
        `${quoted(name)} is not a setting${didYouMean(name, settingNames)}; the settings are ${settingNames.join(', ')}`,
      );
  }
  const fields = new YamlFields(entries, faults);
  const { sound, mix } = voicesOf(fields, faults);
  const settings: Settings = {
    sound: timesOf(timesOf(sound, 'chop', fields), 'spread', fields),
    mix,
    melody: melodyOf(fields),
    outputs: outputsOf(fields, faults),
    keys: keysOf(fields, screen, faults),
    pedals: pedalsOf(fields, faults),
    neck: neckOf(fields),
    rest: restOf(fields),
    ladder: ladderOf(fields),
    target: targetOf(fields),
    listen: listenOf(fields),
    microphone: microphoneOf(fields),
    background: backgroundOf(fields),
    singers: singersOf(fields, faults),
    hand: handOf(fields, faults),
    home: homeOf(fields),
    prices: pricesOf(fields, faults),
    shapes: [...knownShapes(fields), ...ownShapes(fields, faults)],
  };
  return {
    settings,
    faults: [
      ...folderRemarks,
      ...faults.sorted().map((fault) => `${file}:${fault.line}:${fault.column}: ${fault.message}`),
    ],
    file,
  };
}

function singersOf(fields: YamlFields, faults: Faults): ReadonlyMap<string, VoiceRange> {
  const singers = new Map<string, VoiceRange>();
  const entries = fields.map('singers', 'write each singer on a line below it: “  Ansa: A3-D5”');
  for (const { name, value, place } of entries) {
    const range = parseVoiceRange(value.kind === 'text' ? value.text : '');
    if (range.ok) singers.set(name, range.value);
    else faults.error(value.kind === 'nothing' ? place : value.place, range.fault.message);
  }
  return singers;
}

function voicesOf(fields: YamlFields, faults: Faults): SoundAndMix {
  return readVoices(
    fields.map('voices', 'write each voice on a line below it: “  bass: channel 3, level 80”'),
    faults,
  );
}

function melodyOf(fields: YamlFields): MelodyWord {
  const text = fields.rawText('melody')?.trim() ?? null;
  const word = melodyWords.find((one) => one === text);
  if (text !== null && !word)
    fields.fault(
      'melody',
      `melody ${quoted(text)} is not a place for the tune${didYouMean(text, melodyWords)}; write one of ${melodyWords.join(', ')}`,
    );
  return word ?? usualSettings.melody;
}

function timesOf(sound: Sound, name: 'chop' | 'spread', fields: YamlFields): Sound {
  const text = fields.rawText(name);
  if (text === null) return sound;
  const read = readMilliseconds(sound, name, text);
  if (!read.ok) fields.fault(name, read.fault.message);
  return read.ok ? read.value : sound;
}

function outputsOf(fields: YamlFields, faults: Faults): ReadonlyMap<string, OutSetting> {
  const outputs = new Map<string, OutSetting>();
  const entries = fields.map('outputs', 'write each output on a line below it: “  sound: offset 12”');
  for (const { name, place, value } of entries) {
    const out = parseOut(name);
    if (!out.ok) {
      faults.error(place, out.fault.message);
      continue;
    }
    const read = parseOutSetting(value.kind === 'text' ? value.text.trim() : '');
    if (read.ok) outputs.set(outText(out.value), read.value);
    else faults.error(value.place, read.fault.message);
  }
  return outputs;
}

function keysOf(
  fields: YamlFields,
  { actions, isKey }: ScreenWords,
  faults: Faults,
): ReadonlyMap<string, readonly string[]> {
  const keys = new Map<string, readonly string[]>();
  if (actions.length === 0) return keys;
  const entries = fields.map('keys', 'write each action on a line below it: “  play: space, p”');
  for (const { name, place, value } of entries) {
    if (!actions.includes(name)) {
      faults.error(place, `${quoted(name)} is not an action${didYouMean(name, actions)}`);
      continue;
    }
    const named = (value.kind === 'text' ? value.text : '').split(/[\s,]+/).filter((key) => key !== '');
    const wrong = named.find((key) => !isKey(key));
    if (wrong !== undefined || named.length === 0)
      faults.error(
        value.kind === 'nothing' ? place : value.place,
        `${quoted(wrong ?? '')} is not a key; write a character, or a name such as space, enter, tab, up, pagedown or ctrl+r`,
      );
    else keys.set(name, named);
  }
  return keys;
}

function pedalsOf(fields: YamlFields, faults: Faults): Settings['pedals'] {
  const entries = fields.map('pedals', 'write each pedal on a line below it: “  extend: control 64”');
  const known: Pedal[] = [];
  let from: InSpec | null = null;
  for (const { name, place, value } of entries) {
    const texts =
      value.kind === 'list'
        ? value.values.map((one) => (one.kind === 'text' ? one.text : ''))
        : [value.kind === 'text' ? value.text : ''];
    const where = value.kind === 'nothing' ? place : value.place;
    const use = pedalUses.find((one) => one === name);
    if (name === 'from') {
      const read = parseIn((texts[0] ?? '').trim());
      if (read.ok) from = read.value;
      else faults.error(where, read.fault.message);
    } else if (!use)
      faults.error(place, `${quoted(name)} is not something a pedal can do${didYouMean(name, pedalUses)}`);
    else
      for (const text of texts) {
        const read = parsePedal(text);
        if (read.ok) known.push({ use, ...read.value });
        else faults.error(where, `${quoted(text)}: ${read.fault.message}`);
      }
  }
  return { known, from };
}

function neckOf(fields: YamlFields): Settings['neck'] {
  const words =
    fields
      .rawText('neck')
      ?.split(',')
      .map((word) => word.trim()) ?? [];
  const known = ['left-handed', 'right-handed', 'ceiling up', 'ceiling down', 'say ceiling'];
  const wrong = words.find((word) => !known.includes(word));
  if (wrong !== undefined)
    fields.fault(
      'neck',
      `${quoted(wrong)} is not a view of the neck${didYouMean(wrong, known)}; write “neck: left-handed”, “neck: ceiling up”, “neck: say ceiling”, or several with commas`,
    );
  const [hand] = words.filter((word) => word.endsWith('-handed'));
  return {
    mirrored: hand === undefined ? null : hand === 'left-handed',
    ceilingUp: words.includes('ceiling up'),
    sayCeiling: words.includes('say ceiling'),
  };
}

function restOf(fields: YamlFields): Settings['rest'] {
  const text = fields.rawText('rest');
  if (text === null) return undefined;
  if (text === 'off') return null;
  const minutes = Number(text);
  if (/^\d+$/.test(text) && minutes >= 1 && minutes <= 240) return minutes;
  fields.fault('rest', `rest must be minutes from 1 to 240, or off, not ${quoted(text)}`);
  return undefined;
}

function ladderOf(fields: YamlFields): Settings['ladder'] {
  const usual = usualSettings.ladder;
  const text = fields.rawText('ladder');
  if (text === null) return usual;
  const match = /^(?:from\s+(\d{2,3})\s*%)?(?:\s*,\s*|\s+|^)?(?:up after\s+([1-9]))?$/.exec(text);
  const start = match?.[1] === undefined ? null : Number(match[1]) / 100;
  if (match && text !== '' && (start === null || (start >= 0.2 && start <= 1)))
    return { start, inRow: match[2] === undefined ? usual.inRow : Number(match[2]) };
  fields.fault(
    'ladder',
    `ladder ${quoted(text)} cannot be read; write it like “from 60%, up after 2”, with 20% to 100% and 1 to 9 clean passes`,
  );
  return usual;
}

function targetOf(fields: YamlFields): number {
  const text = fields.rawText('target');
  if (text === null) return 1;
  const percent = /^(\d{2,3})\s*%$/.exec(text)?.[1];
  const share = Number(percent ?? Number.NaN) / 100;
  if (share >= 0.2 && share <= 1.5) return share;
  fields.fault('target', `target ${quoted(text)} is not a percentage of the chart’s tempo from 20% to 150%`);
  return 1;
}

function listenOf(fields: YamlFields): Settings['listen'] {
  const usual = usualSettings.listen;
  const text = fields.rawText('listen');
  if (text === null) return usual;
  const words = text.split(',').map((word) => word.trim());
  const known = ['on', 'off', ...levels];
  const wrong = words.find((word) => !known.includes(word));
  const says = 'write “listen: on”, “listen: off”, or add how strictly to judge: “listen: on, steady”';
  if (wrong !== undefined) {
    fields.fault('listen', `${quoted(wrong)} is not a value of listen${didYouMean(wrong, known)}; ${says}`);
    return usual;
  }
  const states = words.filter((word) => word === 'on' || word === 'off');
  const wanted = levels.filter((level) => words.includes(level));
  if (states.length <= 1 && wanted.length <= 1)
    return { on: states[0] === 'on', level: wanted[0] ?? usual.level };
  fields.fault(
    'listen',
    `listen ${quoted(text)} has values that exclude each other; ${says} (${levels.join(', ')})`,
  );
  return usual;
}

function microphoneOf(fields: YamlFields): Settings['microphone'] {
  const text = fields.rawText('microphone');
  if (text === null) return null;
  const read = parseEar(text);
  if (read.ok) return read.value;
  fields.fault('microphone', `microphone ${quoted(text)}: ${read.fault.message}`);
  return null;
}

function backgroundOf(fields: YamlFields): Settings['background'] {
  const text = fields.rawText('background');
  if (text === null) return null;
  if (text === 'light' || text === 'dark') return text;
  fields.fault('background', `background must be light or dark, not ${quoted(text)}`);
  return null;
}

function handOf(fields: YamlFields, faults: Faults): PlayerHand {
  const value = fields.value('hand');
  if (value?.kind === 'map') return readHand(value.entries, faults);
  const wanted = fields.rawText('hand');
  if (wanted === null) return usualHand;
  const known = hands.find((hand) => hand.name === wanted);
  if (!known)
    fields.fault(
      'hand',
      `${quoted(wanted)} is not a hand; write ${hands.map((hand) => hand.name).join(', ')}, or describe the hand on lines below`,
    );
  return known ?? usualHand;
}

function homeOf(fields: YamlFields): HomeWish {
  const text = fields.rawText('home');
  if (text === null) return 'low';
  const read = parseHome(text);
  if (read.ok) return read.value;
  fields.fault('home', read.fault.message);
  return 'low';
}

function pricesOf(fields: YamlFields, faults: Faults): Prices {
  return readPrices(fields.map('prices', 'write each price on a line below it: “  slope: 80”'), faults);
}

function ownShapes(fields: YamlFields, faults: Faults): readonly StockShape[] {
  const value = fields.value('shapes');
  return value ? readShapes(value, faults) : [];
}

/** The trade's shapes whose names the hand knows; those without a name are always kept. All, where nothing is said. */
function knownShapes(fields: YamlFields): readonly StockShape[] {
  const text = fields.rawText('known');
  if (text === null) return stockShapes;
  const shapeNames = [...new Set(stockShapes.flatMap((shape) => shape.name ?? []))];
  const known = text.split(',').map((name) => name.trim());
  for (const name of known) {
    if (!shapeNames.includes(name))
      fields.fault(
        'known',
        `${quoted(name)} is not a stock shape${didYouMean(name, shapeNames)}; the stock shapes are ${fewNames(shapeNames)}`,
      );
  }
  return stockShapes.filter((shape) => shape.name === null || known.includes(shape.name));
}
