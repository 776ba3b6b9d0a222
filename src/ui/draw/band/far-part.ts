import { sights } from '../../../band/parts.js';
import { keyNow } from '../../../playback/pass-view.js';
import { withSigns } from '../../../theory/key.js';
import type { FarChord, FarView } from '../far.js';
import { runInto } from './bass-run.js';
import { capoText } from './capo-bars.js';
import { callOf, capoOf, momentOf } from './chord-pane.js';
import type { ChordPlace, ComingChord } from './chords-ahead.js';
import { formMoment } from './form-moment.js';
import type { PartView } from './part-view.js';

/** The far view as a part without shapes reads it: its own letters or notes, and in place of the hand's way what its part has to know. */
export function farOfPart(far: FarView, part: PartView): FarView {
  const { now, next } = momentOf(part);
  const isCounting = far.counting !== null;
  const called = (place: ChordPlace | null): FarChord | null => {
    if (!place) return null;
    const { number, letters } = callOf(part, place);
    return {
      number: number === '' ? letters : number,
      chord: part.names === 'numbers' || number === '' ? '' : letters,
    };
  };
  const waits = part.performance.cursor.waits === 'chord';
  return {
    ...far,
    now: isCounting ? null : called(now),
    next: called(isCounting ? now : next),
    frets: '',
    span: null,
    beatsLeft: isCounting ? far.beatsLeft : waits ? null : (next?.beats ?? null),
    glance: glanceOf(part, next),
  };
}

function glanceOf(part: PartView, next: ComingChord | null): string {
  const { performance, unicode, bars, place } = part;
  const sight = sights[part.part];
  if (sight.capo) return capoText(capoOf(part), keyNow(performance), unicode);
  if (sight.bass) return next ? runText(part, next) : '';
  const form = formMoment(bars, place);
  return form?.next ? `${form.part}, then ${form.next.text} in ${form.next.bars}` : (form?.part ?? '');
}

/** The run in one line: `run A on 3, B on 4, then C`. */
function runText({ bars, performance, unicode }: PartView, next: ComingChord): string {
  const run = runInto(bars, performance.setup, next);
  if (!run) return '';
  const signs = (text: string): string => (unicode ? withSigns(text) : text);
  const notes = run.notes.map(({ letter, beat }) => `${signs(letter)} on ${beat}`);
  return `${run.isPlayed ? 'run' : 'may run'} ${notes.join(', ')}, then ${signs(run.landing.letter)}`;
}
