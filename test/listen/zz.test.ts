import { expect, it } from 'vitest';
import { writeFileSync, existsSync, readFileSync, mkdirSync } from 'node:fs';
import { rendered, rate, instruments } from './rendered.js';
import { performance as played } from './performance.js';
import { OnsetDetector } from '../../src/listen/onsets.js';
import { seeded } from './seeded.js';
mkdirSync('/tmp/lc',{recursive:true});
function cached(key:string,make:()=>Float32Array){const f=`/tmp/lc/${key}.f32`;if(existsSync(f)){const b=readFileSync(f);return new Float32Array(b.buffer,b.byteOffset,b.length/4)}const s=make();writeFileSync(f,Buffer.from(s.buffer,s.byteOffset,s.byteLength));return s}
function detect(s: Float32Array){const d=new OnsetDetector(rate);const o=[];for(let i=0;i<s.length;i+=1024)o.push(...d.push(s.subarray(i,i+1024)));return o;}
function withNoise(s:Float32Array,db:number,seed:number){const r=seeded(seed);let e=0,n=0;for(const v of s)if(Math.abs(v)>0.003){e+=v*v;n++}const rms=Math.sqrt(e/n)*10**(-db/20);return s.map(v=>v+rms*Math.sqrt(-2*Math.log(1-r()))*Math.cos(2*Math.PI*r()))}
function score(truth:number[],found:number[]){const used=new Set<number>();const diffs:number[]=[];for(const t of truth){let best=-1;for(let i=0;i<found.length;i++)if(!used.has(i)&&Math.abs(found[i]!-t)<=25+12&&(best<0||Math.abs(found[i]!-t)<Math.abs(found[best]!-t)))best=i;if(best>=0){used.add(best);diffs.push(found[best]!-t)}}
const med=[...diffs].sort((a,b)=>a-b)[diffs.length>>1]!;const dev=diffs.map(d=>Math.abs(d-med)).sort((a,b)=>a-b);const ok=diffs.filter(d=>Math.abs(d-med)<=25).length;return {F:(2*ok/(truth.length+found.length)).toFixed(4),miss:truth.length-ok,extra:found.length-ok,med:med.toFixed(1),p95:dev[Math.floor(0.95*dev.length)]?.toFixed(2)}}
it('scores', () => {
  const t0=globalThis.performance.now(); let secs=0;
  for(const [name,ins] of Object.entries(instruments))
  for (const bpm of [120,200,260]) for(const ups of [false,true]) { if(ups&&bpm>200)continue;
    const p=played({bpm,bars:16,jitter:12,seed:bpm+1,ups});
    const s=cached(`${name}${bpm}${ups}`,()=>rendered(p,ins)); const truth=p.map(x=>x.at);
    const row:string[]=[];
    for(const [label,x] of [['clean',s],['30',cached(`${name}${bpm}${ups}n30`,()=>withNoise(s,30,1))],['20',cached(`${name}${bpm}${ups}n20`,()=>withNoise(s,20,2))],['10',cached(`${name}${bpm}${ups}n10`,()=>withNoise(s,10,3))]] as const){
      const f=detect(x).map(o=>o.sample/44.1); secs+=x.length/rate;
      const r=score(truth,f); row.push(`${label} F ${r.F} -${r.miss}+${r.extra} med ${r.med} p95 ${r.p95}`);
    }
    if(process.env.Q){if(bpm===200) console.log(name,bpm,ups,row.filter((_,i)=>i!==1).join(' | '))} else console.log(name,bpm,ups,row.join(' | '));
  }
  console.log('cpu share', ((globalThis.performance.now()-t0)/1000/secs).toFixed(4));
  expect(1).toBe(1);
},100000);
