import { it } from 'vitest';
import { sectionAgain } from '../../src/playback/jumps.js';
import { unmoved, withSetup } from '../../src/playback/session.js';
import { setLoop, goTo } from '../../src/playback/transport.js';
import { keyOf } from '../ui/model.js';
import { TuneStage, tiedText } from './tune-stage.js';
const setup = (change: any) => (s: any) => unmoved(withSetup(s, change(s.performance.setup)));
const asks: any = { 'loop to': (s: any, at: any) => setLoop(s, 'to', at), 'to bar 7': (s: any, at: any) => goTo(s, 6, at), 'key A': setup(() => ({ key: keyOf('A') })), again: sectionAgain, 'key Eb': setup(() => ({ key: keyOf('Eb') })), others: setup(() => ({ melody: 'others' })), slower: setup(({ bpm }: any) => ({ bpm: Math.max(60, bpm / 1.2) })), 'to bar 1': (s: any, at: any) => goTo(s, 0, at) };
function run(list: any, lead = 0) {
  const stage = new TuneStage(tiedText, { holds: false }, lead);
  const show = () => {
    const c = stage.now.performance?.conductor;
    return c?.sent.map(({ startTick, skip, length, cuts, firstBar, phase, repeats }) => `${phase} ${startTick}+${length} skip ${skip} bar ${firstBar}${cuts ? ' cuts' : ''}${repeats ? ' rep' : ''}`).join(' | ');
  };
  let last = '';
  const look = () => {
    const s = stage.sounding().join() + ' ok ' + [...(stage.allowed() ?? [])].join();
    if (s !== last) console.log(stage.host.now().toFixed(0), 'tick', ((stage.now.link.spans[0] ? (stage.host.now() - stage.now.link.spans[0].time) / stage.now.link.spans[0].msPerTick + stage.now.link.spans[0].tick : 0)).toFixed(0), s);
    last = s;
  };
  stage.wait(2500, look);
  for (const { ask, ms } of list) { console.log('ASK', ask, stage.host.now()); stage.step(asks[ask]); console.log(show()); stage.wait(ms, look); console.log(show()); }
}
it('a', () => run([{"ask":"loop to","ms":1026},{"ask":"slower","ms":1}]));
it('b', () => run([{"ask":"again","ms":1},{"ask":"key A","ms":1},{"ask":"again","ms":250}], 150));
it('c', () => run([{"ask":"again","ms":1},{"ask":"again","ms":1},{"ask":"to bar 7","ms":1},{"ask":"again","ms":68},{"ask":"again","ms":107}], 150));
