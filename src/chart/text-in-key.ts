import { good, misread, type Outcome } from '../base/outcome.js';
import { chordName, parseChord, toChord, toNumber } from '../theory/chord.js';
import { type Key, keyName } from '../theory/key.js';
import { looksLikeLetters } from './cell.js';
import type { Chart, Place } from './chart.js';
import { Faults } from './fault.js';
import { keyAt, parseTargetKey } from './key-target.js';
import { offsetsOf } from './offsets.js';
import { readChart } from './read.js';
import { ownPieces } from './read-derived.js';
import type { SourceLine } from './read-section.js';
import { tokenize } from './tokens.js';
import { tuneInKey } from './tune/tune-in-key.js';
import { parseYaml, type Value } from './yaml-source.js';

/** A piece of a file's text and what stands there in another key. */
interface Piece extends Place {
  readonly text: string;
  readonly instead: string;
}

/**
 * A chart's file in another key: the value of `key:`, the keys that are named in bars and form, and the letters of sections in
 * letters are others; every other character stays as it is. A text that was written with escapes cannot be changed so.
 */
export function textInKey(source: string, chart: Chart, key: Key): Outcome<string> {
  if (keyName(key) === keyName(chart.key)) return good(source);
  const yaml = parseYaml(new TextEncoder().encode(source), new Faults());
  const value = (name: string): Value | undefined =>
    yaml?.entries.find((entry) => entry.name === name)?.value;
  const pieces = [
    ...keyPieces(value('key'), key),
    ...formPieces(value('form'), chart.key, key),
    ...sectionPieces(value('sections'), chart, key),
    ...tunePieces(value('tune'), chart, key),
  ];
  const at = offsetsOf(source);
  const sorted = pieces
    .map((piece) => ({ ...piece, from: at(piece) }))
    .sort((one, other) => one.from - other.from);
  const parts: string[] = [];
  let done = 0;
  for (const { from, text, instead, line } of sorted) {
    if (!source.startsWith(text, from))
      return misread(`line ${line} is written with escapes, so it cannot be changed in place`);
    parts.push(source.slice(done, from), instead);
    done = from + text.length;
  }
  const text = [...parts, source.slice(done)].join('');
  const read = readChart(new TextEncoder().encode(text));
  return read.ok && keyName(read.value.key) === keyName(key)
    ? good(text)
    : misread('its text cannot be changed in place');
}

function keyPieces(value: Value | undefined, key: Key): Piece[] {
  const line = value?.kind === 'text' ? value.lines.find(({ text }) => text.trim() !== '') : undefined;
  if (!line) return [];
  return [piece(line, line.text.length - line.text.trimStart().length, line.text.trim(), keyName(key))];
}

/** The keys within the brackets of a form's entries. */
function formPieces(value: Value | undefined, from: Key, to: Key): Piece[] {
  const texts = value?.kind === 'list' ? value.values : value ? [value] : [];
  return texts.flatMap((one) => {
    let depth = 0;
    return (one.kind === 'text' ? one.lines : []).flatMap((line) => {
      const found: Piece[] = [];
      for (const { 0: part, index } of line.text.matchAll(/[(),]|[^(),]+/g)) {
        if (part === '(') depth += 1;
        else if (part === ')') depth = Math.max(0, depth - 1);
        const [, before = '', name = ''] = (depth > 0 && /^(\s*key[\s=:]+)(\S.*?)\s*$/i.exec(part)) || [];
        const key = parseTargetKey(name);
        if (name !== '' && key.ok)
          found.push(piece(line, index + before.length, name, movedName(key.value, from, to)));
      }
      return found;
    });
  });
}

function movedName(key: Key, from: Key, to: Key): string {
  return keyName(keyAt({ key, home: from }, to));
}

function sectionPieces(value: Value | undefined, chart: Chart, to: Key): Piece[] {
  const entries = value?.kind === 'map' ? value.entries : [];
  return entries.flatMap(({ value: text }, index) => {
    const section = chart.sections[index];
    if (!section || text.kind !== 'text') return [];
    // The letters of a section's name are not chords.
    const parts = section.derived ? ownPieces(text.lines) : [text.lines];
    return parts.flatMap((lines) => barPieces(lines, section.letters, chart.key, to));
  });
}

function tunePieces(value: Value | undefined, chart: Chart, to: Key): readonly Piece[] {
  const entries = value?.kind === 'map' ? value.entries : [];
  return entries.flatMap(({ name, value: text }) => {
    const section = chart.sections.find((one) => one.name === name);
    return section && text.kind === 'text' ? tuneInKey(text.lines, section, chart, to) : [];
  });
}

/** The keys that are named in bars, and their letters where they have any. */
function barPieces(lines: readonly SourceLine[], inLetters: boolean, home: Key, to: Key): Piece[] {
  let letters = inLetters ? { from: home, to } : null;
  return lines.flatMap((line) =>
    tokenize(line.text, line.line, line.column).flatMap((token): Piece[] => {
      if (token.kind !== 'word') return [];
      if (token.text.startsWith('@key=')) {
        const key = parseTargetKey(token.text.slice('@key='.length));
        if (!key.ok) return [];
        const moved = keyAt({ key: key.value, home }, to);
        if (letters) letters = { from: key.value, to: moved };
        return [{ ...token, instead: `@key=${keyName(moved)}` }];
      }
      if (!letters || !looksLikeLetters(token.text)) return [];
      const instead = lettersMoved(token.text, letters.from, letters.to);
      return instead === token.text ? [] : [{ ...token, instead }];
    }),
  );
}

/** A chord in letters with its marks, its root and bass in another key. */
function lettersMoved(word: string, from: Key, to: Key): string {
  const [, early = '', root = '', quality = '', bass = '', marks = ''] =
    /^(['’]?)([A-G][#b♯♭]?)(.*?)(\/[A-G][#b♯♭]?)?([~!.]*)$/su.exec(word) ?? [];
  const note = (name: string): string => {
    const chord = parseChord(name);
    return chord.ok ? chordName(toChord(toNumber(chord.value, from), to)) : name;
  };
  return early + note(root) + quality + (bass === '' ? '' : `/${note(bass.slice(1))}`) + marks;
}

function piece(line: SourceLine, index: number, text: string, instead: string): Piece {
  const column = line.column + [...line.text.slice(0, index)].length;
  return { line: line.line, column, text, instead };
}
