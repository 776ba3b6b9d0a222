import { quoted } from '../base/safe-text.js';
import { bassWords, levelWords } from './level.js';

/** A key as people spell it. */
const keyName = '[A-Ga-g](?:[#b♯♭]|[ -]?sharp|[ -]?flat)?(?: ?(?:m|minor|min|major|maj))?';
/** Longer texts are not looked at: finding where words end takes time. */
const longest = 60;

/** `banjo; key D`, `banjo in D`, `banjo, in the key of D`, `@key=D`, and a key alone. */
const named = new RegExp(
  `^(?:(.*?)[\\s;:/-]+)??(?:@key\\s*[=:]?|key\\s*[=:]?|in the key of|the key of|key of|in key|in)\\s*(${keyName})$`,
  'iu',
);
const alone = /^[A-G][#b♯♭]?m?$/u;
const moved =
  /^(?:(.*?)\s+)?(?:@?key)?\s*(?:[+-]\d{1,2}|(?:up|down)\s+(?:an?|one|two|three|half|whole|\d+)\b.*|(?:modulate|raise|lift)\b.*)$/i;
const withLevel = new RegExp(`^(\\S.*?)[\\s;/]+(${[...levelWords, ...bassWords].join('|')})$`);

/**
 * How a part in the brackets of an entry that names a key otherwise is written; `null` where it names none.
 *
 * @example otherKey('banjo in D') // a key is written “banjo, key D”
 */
export function otherKey(text: string): string | null {
  const written = (who: string | undefined, key: string): string => {
    const leader = who?.replace(/[\s;:/-]+$/, '') ?? '';
    return quoted(leader === '' ? `(key ${key})` : `(${leader}, key ${key})`);
  };
  if (text.length > longest) return null;
  if (alone.test(text)) return `a key is written ${written(undefined, plainKey(text))}`;
  const [, who, key] = named.exec(text) ?? [];
  if (key !== undefined) return `a key is written ${written(who, plainKey(key))}`;
  const move = moved.exec(text);
  return move ? `an entry names its key: ${written(move[1], 'D')}` : null;
}

/** How a part in the brackets of an entry that says more than who leads is written; `null` where it says nothing else. */
export function otherOption(text: string): string | null {
  const key = otherKey(text);
  if (key !== null) return key;
  const [, who, word] = (text.length > longest ? null : withLevel.exec(text)) ?? [];
  return who === undefined ? null : `with a comma it is ${quoted(`(${who}, ${word})`)}`;
}

/** The usual name of a key that is spelled out. */
function plainKey(text: string): string {
  const [, tonic = '', sign = '', mode = ''] =
    /^([A-Ga-g])(?:[ -]?(#|b|♯|♭|sharp|flat))?\s*(.*)$/iu.exec(text) ?? [];
  const accidental = /^(?:#|♯|sharp)$/i.test(sign) ? '#' : sign === '' ? '' : 'b';
  return `${tonic.toUpperCase()}${accidental}${/^m(?:in|$)/.test(mode) ? 'm' : ''}`;
}
