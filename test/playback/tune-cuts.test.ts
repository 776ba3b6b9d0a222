import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { onePassMore, sectionAgain, toEnding } from '../../src/playback/jumps.js';
import { released } from '../../src/playback/release.js';
import { type Played, type Session, unmoved, withSetup } from '../../src/playback/session.js';
import type { Setup } from '../../src/playback/setup.js';
import { goTo, playOrPause, setLoop, toggleLastPass } from '../../src/playback/transport.js';
import { holdChord } from '../../src/playback/vamp.js';
import { keyOf } from '../ui/model.js';
import { TuneStage, tiedText } from './tune-stage.js';

type Ask = (session: Session, at: number) => Played;
const setup =
  (change: (setup: Setup) => Partial<Setup>): Ask =>
  (session) =>
    session.performance ? unmoved(withSetup(session, change(session.performance.setup))) : unmoved(session);

/** Whatever can be asked for while music runs. */
const asks: Readonly<Record<string, Ask>> = {
  again: sectionAgain,
  ending: toEnding,
  more: onePassMore,
  last: (session, at) => toggleLastPass(session, at),
  hold: holdChord,
  release: (session, at) => released(session, at) ?? unmoved(session),
  'to bar 1': (session, at) => goTo(session, 0, at),
  'to bar 4': (session, at) => goTo(session, 3, at),
  'to bar 7': (session, at) => goTo(session, 6, at),
  'to bar 14': (session, at) => goTo(session, 13, at),
  'loop from': (session, at) => setLoop(session, 'from', at),
  'loop to': (session, at) => setLoop(session, 'to', at),
  'loop off': (session, at) => setLoop(session, 'off', at),
  'key A': setup(() => ({ key: keyOf('A') })),
  'key Eb': setup(() => ({ key: keyOf('Eb') })),
  faster: setup(({ bpm }) => ({ bpm: Math.min(300, bpm * 1.2) })),
  slower: setup(({ bpm }) => ({ bpm: Math.max(60, bpm / 1.2) })),
  all: setup(() => ({ melody: 'all' })),
  others: setup(() => ({ melody: 'others' })),
  silent: setup(({ mix }) => ({ mix: { ...mix, on: { ...mix.on, lead: !mix.on.lead } } })),
  pause: playOrPause,
};

const steps = fc.array(
  fc.record({
    ask: fc.constantFrom(...Object.keys(asks)),
    ms: fc.integer({ min: 1, max: 2600 }),
  }),
  { minLength: 1, maxLength: 14 },
);

describe('the tune at any cut', () => {
  it.each([0, 150])(
    'leaves nothing sounding that is not of the place, sent %i ms ahead',
    (lead) => {
      fc.assert(
        fc.property(steps, fc.boolean(), (asked, holds) => {
          const stage = new TuneStage(tiedText, { holds }, lead);
          const look = (): void => {
            const sounding = stage.sounding();
            expect(sounding.length).toBeLessThanOrEqual(1);
            // What was asked for is in force after the reach, and by its own arrangement a little later.
            if (stage.host.now() - stage.askedAt < 100 + lead) return;
            const allowed = stage.allowed();
            if (allowed) for (const note of sounding) expect([...allowed]).toContain(note);
          };
          stage.wait(2500, look);
          for (const { ask, ms } of asked) {
            stage.step(asks[ask] as Ask);
            stage.wait(ms, look);
          }
          if (stage.now.link.state === 'running') stage.step(playOrPause);
          stage.wait(400);
          expect(stage.output.hanging()).toStrictEqual([]);
        }),
        { numRuns: 40 },
      );
    },
    120_000,
  );

  it('ends a pick-up that sounds over the count when the key changes, and no other time', () => {
    const counting = (): TuneStage => {
      const stage = new TuneStage(tiedText);
      // A bar of count-in at 120: the pick-up sounds over its last beat.
      stage.wait(1800);
      expect(stage.sounding()).toStrictEqual([62]);
      return stage;
    };
    const other = counting();
    other.step(asks['key A'] as Ask);
    other.wait(60);
    expect(other.sounding()).not.toContain(62);
    const same = counting();
    same.step(asks.others as Ask);
    same.step(asks.all as Ask);
    same.wait(60);
    expect(same.sounding()).toStrictEqual([62]);
  });
});
