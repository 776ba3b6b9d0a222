import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leads } from '../../../src/band/band.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import type { Way } from '../../band/network.js';
import { plainSong, windingSong } from '../../band/songs.js';
import { BandStage, type BandStand } from '../band-stage.js';

const wireless: Way = { delay: 1, jitter: 8, loss: 0.02, doubled: 0.02, reorders: false };

/** What players press, wherever they are. */
const pressed: readonly Action[] = [
  'play',
  'faster',
  'slower',
  'key-up',
  'extend',
  'one-pass-more',
  'ending',
  'last-pass',
  'loop-from',
  'loop-to',
  'loop-off',
  'section-on',
  'bar-back',
  'to-start',
  'hold',
  'far',
  'mark-clean',
  'mark-miss',
  'tap',
  'band',
  'band-lead',
  'call-once-more',
  'call-break',
  'back',
];

type Deed =
  | { readonly kind: 'press'; readonly who: number; readonly action: Action }
  | { readonly kind: 'song'; readonly who: number; readonly text: string }
  | { readonly kind: 'cut'; readonly who: number; readonly ms: number };

const deed: fc.Arbitrary<Deed> = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.record({
      kind: fc.constant('press' as const),
      who: fc.integer({ min: 0, max: 2 }),
      action: fc.constantFrom(...pressed),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('song' as const),
      who: fc.constant(0),
      text: fc.constantFrom(plainSong, windingSong),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('cut' as const),
      who: fc.integer({ min: 0, max: 2 }),
      ms: fc.integer({ min: 100, max: 6000 }),
    }),
  },
);

const steps = fc.array(fc.record({ deed, wait: fc.integer({ min: 5, max: 2500 }) }), {
  minLength: 4,
  maxLength: 14,
});

/** The leader, where there is one that the others know of. */
function leaderOf(stands: readonly BandStand[]): BandStand | null {
  const [one, ...more] = stands.filter(({ model }) => model.band && leads(model.band.band));
  return one && more.length === 0 ? one : null;
}

describe('stands of a band, whatever their players press and the network does', () => {
  it('are one leader and others who have its song, key, tempo and form; nothing of it is ever written', () => {
    fc.assert(
      fc.property(fc.integer(), steps, (seed, deeds) => {
        const stage = new BandStage(seed, wireless);
        const { leader, others } = stage.band(plainSong, 2);
        const stands = [leader, ...others];
        for (const { deed: one, wait } of deeds) {
          const stand = stands[one.who] as BandStand;
          if (one.kind === 'press') stand.press(one.action);
          else if (one.kind === 'song') {
            if (leaderOf(stands) === stand) stand.put(one.text);
          } else if (stand.model.band) {
            stage.room.disconnect(stand);
            stage.world.at(stage.world.now + one.ms, () => {
              if (stand.model.band) stage.room.connect(stand);
            });
          }
          stage.wait(wait);
        }
        stage.wait(9000);
        const leads = leaderOf(stands);
        for (const { model } of stands) if (model.band) expect(model.band.band.up).toBe(true);
        if (leads)
          for (const stand of stands) {
            if (stand === leads || !stand.model.band) continue;
            expect(stand.model.mode.kind).toBe('follow');
            const [mine, theirs] = [stand, leads].map(({ model }) => model.session.performance);
            if (!theirs) {
              expect(stand.model.session.link.state).not.toBe('running');
              continue;
            }
            expect(mine?.setup.chart.title).toBe(theirs.setup.chart.title);
            expect(mine?.setup.key).toEqual(theirs.setup.key);
            expect(mine?.setup.bpm).toBe(theirs.setup.bpm);
            expect(mine?.setup.passes).toBe(theirs.setup.passes);
            expect(mine?.setup.range).toEqual(theirs.setup.range);
            // Music that was begun and paused while somebody was away never ran there: paused or stopped is one.
            const [here, there] = [stand, leads].map(({ model }) => model.session.link.state === 'running');
            expect(here).toBe(there);
          }
        // Only charts of one's own file keep what is chosen, and nothing is written by itself.
        for (const stand of stands) {
          for (const { file } of stand.done('keep')) expect(file).toBe('own.yaml');
          for (const kind of ['write', 'write-new', 'write-copy', 'keep-run'] as const)
            expect(stand.done(kind)).toEqual([]);
        }
        for (const stand of others) expect(stand.done('keep')).toEqual([]);
      }),
      { numRuns: 20 },
    );
  });
});
