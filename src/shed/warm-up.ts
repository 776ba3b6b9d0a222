import { keyName } from '../theory/key.js';
import { type SittingWishes, stateOf, type Wanted } from './wanted.js';

/** The warm-up: the fretting hand alone and slowly, on what the hand knows: the last step that is done, or the first there is. */
export function warmUp(wishes: SittingWishes): Wanted {
  const { steps, ahead } = stateOf(wishes);
  const why = 'warm-up: slowly, with the fretting hand alone';
  const ofSet = wishes.charts.find(({ inSet }) => inSet);
  if (ofSet && ahead.length === 0)
    return {
      task: { kind: 'chart', file: ofSet.file, way: 'fret', chords: null, bar: null },
      key: keyName(ofSet.chart.key),
      tempo: { from: Math.round(0.4 * ofSet.chart.tempo.bpm), to: Math.round(0.7 * ofSet.chart.tempo.bpm) },
      why,
      id: 'warm-up',
    };
  const known = steps.filter(({ done, step }) => done && step.chart !== null).at(-1) ?? steps[0];
  return {
    task: { kind: 'step', step: known?.step.id ?? '', way: 'fret' },
    key: known?.step.keys[0] ?? null,
    tempo: { from: 40, to: 72 },
    why,
    id: 'warm-up',
  };
}
