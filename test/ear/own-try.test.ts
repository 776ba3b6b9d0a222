import { it } from 'vitest';
import { usualPeak } from '../listen/noisy.js';
import { performance } from '../listen/performance.js';
import { rate, rendered } from '../listen/rendered.js';
import { scored } from '../listen/scored.js';
import { heardScene, ownMusic } from './own-scene.js';

it('tries', () => {
  for (const bpm of [150, 240]) {
    const bars = 8;
    const offset = 500 + (4 * 60000) / bpm;
    const played = performance({ bpm, bars, seed: 5, offset, jitter: 10 });
    const hand = rendered(played);
    const own = ownMusic(bpm, bars, { offset });
    const level = usualPeak(hand, rate);
    const times = played.map(({ at }) => at);
    const row = (name: string, o: any) => {
      const { strokes, cpuMs } = heardScene({ rate, hand, own, level, late: 0, told: 0, ...o });
      const all = strokes.map(({ ms }) => ms);
      const s = scored(
        times,
        all.filter((ms) => ms > offset - 60),
      );
      const counted = all.filter((ms) => ms <= offset - 60).length;
      const kinds = s.pairs.filter(([p, f]) => {
        const k = strokes.filter(({ ms }) => ms > offset - 60)[f]?.stroke;
        return k === (played[p] as any).kind;
      }).length;
      if (s.extra > 0) {
        const used = new Set(s.pairs.map(([, f]) => f));
        console.log(
          all
            .filter((ms) => ms > offset - 60)
            .flatMap((ms, f) => (used.has(f) ? [] : [`${((ms - offset) / (60000 / bpm)).toFixed(2)}`]))
            .join(' '),
        );
      }
      console.log(
        bpm,
        name,
        `F ${s.f.toFixed(3)} missed ${s.missed} extra ${s.extra} p95 ${s.p95.toFixed(1)} offset ${s.offset.toFixed(1)} counted ${counted} kinds ${(kinds / s.pairs.length).toFixed(3)} cpu ${((100 * cpuMs) / ((1000 * hand.length) / rate)).toFixed(1)}%`,
      );
    };
    row('alone', { own: [] });
    row('not announced', { announced: false, late: 80 });
    row('told right', { late: 80, told: 80 });
    for (const off of [5]) row(`told ${off} beside`, { late: 80, told: 80 - off });
    for (const late of [5, 80, 210, 400]) row(`found ${late}`, { late, told: null });
    row('none heard, to be found', { own, level: 0, told: null });
  }
}, 300000);
