import { parseNumber } from '../../theory/number.js';

/** What is heard when changes are named: bass and chop, the bass by itself, or the tune by itself. */
export const dictationKinds = ['changes', 'bass', 'tune'] as const;
export type DictationKind = (typeof dictationKinds)[number];

/** A change as it was asked: from which number, to which, what was answered (`null`: nothing), and whether that counts as right. */
export type AskedMove = readonly [from: string, to: string, answered: string | null, right: boolean];

/** What the diary keeps of a phrase whose changes were named. */
export interface DictationFigures {
  readonly asks: DictationKind;
  /** The level by its name; `null` where the changes were a chart's own. */
  readonly level: string | null;
  readonly moves: readonly AskedMove[];
}

/** The most changes that are kept of a phrase. */
export const mostMoves = 64;
/** The longest number that is read. */
const longest = 16;

/** Reads figures from a diary's line; `null` if they cannot be read. */
export function readDictation(read: unknown): DictationFigures | null {
  if (typeof read !== 'object' || read === null) return null;
  const { asks, level, moves } = read as Record<string, unknown>;
  if (!dictationKinds.includes(asks as DictationKind)) return null;
  if (level !== null && (typeof level !== 'string' || !/^[a-z-]{1,20}$/.test(level))) return null;
  if (!Array.isArray(moves) || moves.length > mostMoves || !moves.every(isMove)) return null;
  return { asks: asks as DictationKind, level, moves };
}

function isMove(move: unknown): move is AskedMove {
  if (!Array.isArray(move) || move.length !== 4) return false;
  const [from, to, answered, right] = move as unknown[];
  return (
    isNumber(from) && isNumber(to) && (answered === null || isNumber(answered)) && typeof right === 'boolean'
  );
}

function isNumber(text: unknown): text is string {
  return typeof text === 'string' && text.length <= longest && parseNumber(text).ok;
}
