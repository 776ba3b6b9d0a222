import { type EarView, meterSteps } from '../state/ear.js';
import { type Piece, piece } from './line.js';

/** Columns of the meter, and of the words that are in its place. */
const meterWidth = 5;

/** What is in the meter's place where nothing can be judged. */
const words = { silent: 'mute', clipping: 'clips', noisy: 'noise' } as const;

/** That it listens, how loud it is there, or in one word why nothing is judged; empty where it does not listen. Always the same width. */
export function hearsPieces(ear: EarView, unicode: boolean): Piece[] {
  if (!ear.on) return [];
  const wrong = troubleWord(ear);
  if (wrong !== null) return [piece('hears ', 'dim'), piece(wrong.padEnd(meterWidth), 'warn')];
  if (!ear.opened) return [piece('hears ', 'dim'), piece('opens', 'dim')];
  const steps = Math.min(meterSteps, ear.level);
  return [
    piece('hears ', 'dim'),
    piece(')'.repeat(steps)),
    piece((unicode ? '·' : '.').repeat(meterSteps - steps), 'dim'),
  ];
}

/** The one sign that it listens, where nothing else of it is shown; empty where it does not. */
export function hearsWord(ear: EarView): string {
  if (!ear.on) return '';
  const wrong = troubleWord(ear);
  return wrong === null ? 'hears' : `hears: ${wrong}`;
}

function troubleWord({ opened, condition, trouble, company }: EarView): string | null {
  if (!opened) return trouble === '' ? null : 'lost';
  if (condition !== 'fine') return words[condition];
  if (trouble !== '') return 'lost';
  return company ? 'many' : null;
}
