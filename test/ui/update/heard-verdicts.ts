import { judgePass } from '../../../src/listen/judge-pass.js';
import type { TimedStroke } from '../../../src/listen/timed-stroke.js';
import type { Verdict } from '../../../src/listen/verdict.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { expecting } from '../../listen/expecting.js';
import { having } from '../model.js';

/** How a pass is played that a test needs a verdict on. */
export type Playing = 'clean' | 'not clean' | 'late' | 'not heard';

const bars = '1 4 1 4 1 4 1 4';
const { expected } = expecting(bars, { bpm: 160 });

/** Strokes of eight bars of 1 and 4; `late`: each time 4 comes 130 ms late; `not clean`: other chords. */
function strokes(playing: Playing): TimedStroke[] {
  if (playing === 'not heard') return [];
  return expected.map((stroke, index): TimedStroke => {
    const { name } = stroke.chord;
    const isWrong = playing === 'not clean' && stroke.bar % 2 === 1;
    const isLate = playing === 'late' && stroke.from !== null && stroke.chord.number === '4';
    return {
      at: stroke.at + (Math.floor(index / 2) % 2 === 0 ? 3 : -3) + (isLate ? 130 : 0),
      kind: stroke.kind,
      kindSure: 0.98,
      strength: 0.5,
      ringMs: stroke.kind === 'chop' ? 60 : null,
      ringsOn: null,
      chord: { asked: name, best: isWrong ? 'A' : name, isAsked: !isWrong, confidence: 0.99 },
    };
  });
}

/** The verdict on eight bars of 1 and 4, played so. */
export function verdictOn(playing: Playing): Verdict {
  return judgePass(expected, strokes(playing), { level: 'steady', offset: 0 });
}

/** The ear tells of a pass that began at `began`. */
export function told(playing: Playing, began: number | null, at: number): Message {
  return {
    kind: 'pass-told',
    at,
    told: { kind: 'pass-heard', began, verdict: verdictOn(playing), bpm: 160 },
  };
}

/** The model, listening. */
export function listening(model: Model, at = 0): Model {
  return having(
    model,
    { kind: 'action', action: 'listen', at },
    { kind: 'ear', at, message: { kind: 'opened', name: 'a microphone', rate: 48_000, by: 'a test' } },
  ).model;
}
