import { it } from 'vitest';
import { noteHertz, tableOf } from '../../../src/player/synth/tables.js';
import * as m from './measure.js';
it('prints', () => {
  // estimator check
  for (const c of [0, 2, -3]) { const r=48000,h=noteHertz(62); const s=Float32Array.from({length:4800},(_,i)=>{let v=0;for(let k=1;k<8;k++)v+=Math.sin(2*Math.PI*k*h*2**(c/1200)*i/r)/k;return v*Math.exp(-i/1500)}); console.log('est',c,m.centsOff(s,r,h,0,60).toFixed(3)); }
  for (const rate of [44100, 48000]) for (const [voice, notes, len] of [[0,[76,77],50],[1,[28,31,35,39,43,50],900],[2,[55,62,69,76,81,88,96],900],[3,[55,57,62,66,71,79,83,88],60],[3,[62,79],90],[3,[62,79],40]] as const)
    for (const note of notes) {
      const s = tableOf({ voice, note, velocity: 96, length: len }).samples(rate); const h = noteHertz(note);
      const to = voice === 3 ? len*.8 : 600;
      console.log("R"+rate, voice, note, len, 'peak', m.peak(s).toFixed(3), 'rms', m.rms(s).toFixed(3), 'attack', m.attack(s, rate).toFixed(2), 'd20', m.decayed(s,rate,20).toFixed(0),'d40', m.decayed(s,rate,40).toFixed(0), 'd60', m.decayed(s, rate, 60).toFixed(0), 'dc', m.steadyPart(s).toExponential(1), 'bright', m.brightness(s.subarray(0,2400), rate).toFixed(0), 'cents', voice ? m.centsOff(s, rate, h, 2, to).toFixed(2) : '');
    }
});
