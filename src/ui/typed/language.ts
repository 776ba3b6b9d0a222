import { didYouMean } from '../../base/nearest.js';
import { safeText } from '../../base/safe-text.js';
import { groups, type Order, type Reading, telling, type Word } from './order.js';
import { counted } from './spoken.js';
import { bandWords } from './tables/band.js';
import { chartWords } from './tables/chart.js';
import { barAlone, placeWords } from './tables/place.js';
import { playingWords } from './tables/playing.js';
import { practiceWords } from './tables/practice.js';
import { setWords } from './tables/set.js';
import { soundWords } from './tables/sound.js';
import { tempoWords } from './tables/tempo.js';
import { toldWords } from './tables/told.js';

/** The longest line that is read, characters: a bar of notation has room, and nobody means more. */
export const longestLine = 300;

const helpWord: Word = {
  name: 'help',
  also: ['?'],
  takes: 'a command, or nothing',
  says: 'these commands; with one of them, what it does',
  group: 'charts and sets',
  actions: ['help'],
  anywhere: true,
  read: (rest) => help(rest),
};

const quitWord: Word = {
  name: 'quit',
  also: ['exit', 'q'],
  says: 'leave the program',
  group: 'charts and sets',
  actions: ['leave'],
  anywhere: true,
  read: (rest) =>
    rest === ''
      ? { steps: [{ send: (_, at) => [{ kind: 'action', action: 'leave', at }] }], answer: () => 'left' }
      : 'this command takes nothing after it',
};

/** Every command there is, in the order of help. */
export const words: readonly Word[] = [
  ...playingWords,
  ...placeWords,
  ...tempoWords,
  ...soundWords,
  ...toldWords,
  ...chartWords,
  ...practiceWords,
  ...setWords,
  ...bandWords,
  helpWord,
  quitWord,
];

/** Every beginning of a command, the longest first: “once more” is not “once”. */
const beginnings = words
  .flatMap((word) => [word.name, ...(word.also ?? [])].map((name) => ({ name, word })))
  .sort((one, other) => other.name.length - one.name.length);

const figures = 'a number alone is a bar to go to, or a chord while one is asked for';

/**
 * Reads a typed line: what it asks for, or what is wrong with it. `empty`: what an empty line means now; a number alone is a chord where
 * one is asked for (`calls`), and a bar elsewhere.
 */
export function readLine(
  line: string,
  { empty, calls = false }: { readonly empty: string; readonly calls?: boolean },
): Reading {
  if (line.length > longestLine)
    return { ok: false, fault: `a line has at most ${longestLine} characters; this one has ${line.length}` };
  const text = line.replace(/[\p{Cc}\p{Cf}\s]+/gu, ' ').trim();
  const said = text === '' ? empty : calls && /^[1-7]$/.test(text) ? `chord ${text}` : text;
  const low = said.toLowerCase();
  const found = beginnings.find(({ name }) => low === name || low.startsWith(`${name} `));
  if (!found) return readNumber(said) ?? unknown(said);
  const { name, word } = found;
  const read = word.read(said.slice(name.length).trim());
  return typeof read === 'string'
    ? { ok: false, fault: `${name}: ${read}` }
    : { ok: true, order: read, word };
}

function readNumber(text: string): Reading | null {
  const order = barAlone(text);
  const word = placeWords.find(({ name }) => name === 'go');
  return order && word ? { ok: true, order, word } : null;
}

function unknown(text: string): Reading {
  const names = beginnings.map(({ name }) => name);
  const [first = ''] = text.split(' ', 1);
  const isVoice = /^(?:bass|low|chops?) /i.test(text);
  const near =
    didYouMean(isVoice ? `voice ${first}` : text, isVoice ? [`voice ${first}`] : names) ||
    didYouMean(first, names);
  const shown = [...text].length > 40 ? `${[...text].slice(0, 40).join('')}…` : text;
  return {
    ok: false,
    fault: `“${safeText(shown)}” is not a command${near === '' ? '; help lists them' : near}`,
  };
}

/** How a command is written: its name, and what comes after it. */
export function wordUsage({ name, takes }: Pick<Word, 'name' | 'takes'>): string {
  return takes === undefined ? name : `${name} (${takes})`;
}

function help(rest: string): Order | string {
  if (rest === '')
    return telling(() => [
      `${counted(words.length, 'command')} in ${groups.length} groups; help COMMAND explains one; ${figures}:`,
      ...groups.map(
        (group) =>
          `${group}: ${words
            .filter((word) => word.group === group && !/^chord [2-7]$/.test(word.name))
            .map(({ name }) => name)
            .join(', ')}`,
      ),
    ]);
  const low = rest.toLowerCase();
  const found = beginnings.find(({ name }) => name === low)?.word;
  if (found) {
    const also = found.also?.length ? `; also ${found.also.join(', ')}` : '';
    return telling(() => `${wordUsage(found)}: ${found.says}${also}`);
  }
  const group = groups.find((one) => one === low);
  if (group)
    return telling(() => {
      const list = words.filter((word) => word.group === group);
      return [
        `${group}, ${counted(list.length, 'command')}:`,
        ...list.map((word) => `${wordUsage(word)}: ${word.says}`),
      ];
    });
  return `“${safeText(rest)}” is not a command${didYouMean(low, [...beginnings.map(({ name }) => name), ...groups]) || '; help lists them'}`;
}
