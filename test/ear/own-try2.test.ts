import { it } from 'vitest';
import { heardScene, ownMusic } from './own-scene.js';
import { Room } from '../../src/listen/room.js';
it('tries', () => {
  const rate = 44100;
  for (const off of [3, 5, 7]) {
    const own = ownMusic(200, 2, { offset: 1700 });
    const heardOf = Room.prototype.heard; const learn = Room.prototype.learn;
    const log: string[] = [];
    Room.prototype.heard = function (s) { const r = heardOf.call(this, s); log.push(`h${r.unsure.toFixed(2)}`); return r; };
    Room.prototype.learn = function (s, l, n) { let e = 0; l.forEach((v) => e += v * v); let q = 0; n?.forEach((v) => q += v * v); learn.call(this, s, l, n); log.push(`L ${e.toExponential(1)} ${n ? q.toExponential(1) : '-'}`); };
    const { strokes } = heardScene({ rate, hand: Float32Array.from({length: 6 * rate}, (_, at) => at > 1.7 * rate ? 0.1 * Math.sin(at / 20) : 0), own, level: 0.3, late: 80, told: 80 - off });
    Room.prototype.heard = heardOf; Room.prototype.learn = learn;
    console.log(off, strokes.map(({ ms }) => ms.toFixed(0)).join(' '), '\n', log.join('; '));
  }
});
