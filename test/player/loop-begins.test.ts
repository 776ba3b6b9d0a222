import { describe, expect, it } from 'vitest';
import { startDelay } from '../../src/player/messages.js';
import { begin } from '../../src/time/conductor.js';
import { goOn, take } from '../time/takes.js';
import { Rig } from './music.js';

const { segments } = goOn(begin(take('1 4 5 1'), 0, 0), 20_000);
/** A quarter of the chart's tempo, ms. */
const beat = (segments[0]?.tempoMap[1] as number) * 960;

/** When the clicks are heard against a time, in beats, of music that was to begin then. */
function clicks(lead: number, inMs: number): number[] {
  const rig = new Rig(lead);
  const at = rig.host.now() + inMs;
  rig.loop.append(segments);
  rig.loop.play(0, { at: at });
  rig.host.advance(at + 6 * beat);
  return rig.output.ons
    .filter(({ status }) => status === 0x99)
    .map(({ time }) => (time - at) / beat)
    .slice(0, 4);
}

describe('music that is to begin at a time', () => {
  it.each([
    [0, startDelay + 10],
    [20, 400],
    [150, 1000],
  ])('has its first beat then: lead %i ms, %i ms ahead', (lead, inMs) => {
    const heard = clicks(lead, inMs);
    for (const [index, time] of heard.entries()) expect(time).toBeCloseTo(index, 6);
  });

  it.each([
    [0, -0.2, 1],
    [0, -1.4, 2],
    [40, -2.5, 3],
  ])('leaves out what is over by then: lead %i ms, begun %f beats ago', (lead, beats, first) => {
    const heard = clicks(lead, beats * beat);
    expect(heard[0]).toBeCloseTo(first, 6);
    expect(heard[1]).toBeCloseTo(first + 1, 6);
  });

  it('is begun again by a second press before the first was answered, spans and all', () => {
    const rig = new Rig();
    for (const press of [0, 5]) {
      rig.host.advance(5000 + press);
      rig.loop.replace(0, segments);
      rig.loop.play(0);
    }
    const begun = rig.host.now() + startDelay;
    expect(rig.spans[0]).toMatchObject({ tick: 0, time: begun });
    const told = rig.announced.map((message) => (message.kind === 'state' ? message.state : message.kind));
    expect(told.lastIndexOf('spans')).toBeGreaterThan(told.lastIndexOf('running'));
    rig.host.advance(begun + 6 * beat);
    const clicked = rig.output.ons.filter(({ status, time }) => status === 0x99 && time >= begun);
    expect(clicked.slice(0, 4).map(({ time }) => Math.round((time - begun) / beat))).toEqual([0, 1, 2, 3]);
  });
});
