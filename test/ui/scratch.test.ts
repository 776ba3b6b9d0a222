import { it } from 'vitest';
import { heardBeside, roundTrip } from './own-stage.js';
it('x', () => {
  for (const own of [true]) {
  const t = performance.now();
  const r = heardBeside({ chart: '1 4 5 1 1 4 5 1', seconds: 15, own, calibrated: { ms: roundTrip, headphones: false }, rests: (at) => at > 4400 && at < 8900 });
  console.log(own, Math.round(performance.now() - t), r.verdict?.result, r.verdict?.faults, r.marks.map((m) => m.bar).join(' '), r.sentences);
  console.log(r.verdict?.strokes.map((s) => `${s.expected.bar}.${s.expected.kind} ${s.late?.toFixed(1)} ${s.heard?.strength.toFixed(2)}`).join('\n'));
  console.log(r.verdict?.timing, r.verdict?.extra.map((s) => `${(s.at-(r.verdict?.strokes[0]?.expected.at??0)).toFixed(0)} ${s.strength.toFixed(2)}`));
  }
}, 200000);
