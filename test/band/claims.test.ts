import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  beats,
  type Claim,
  type Claims,
  claimHeard,
  claimSent,
  claimsDue,
  claimsWake,
  goneMs,
  layDown,
  leaderOf,
  leaseMs,
  nearTerms,
  newClaims,
  renewMs,
  standLeft,
  takeLead,
} from '../../src/band/claims.js';
import { mostTerm } from '../../src/band/schema.js';
import { seeded, World } from './network.js';

/** Stands in rooms that hear each other; a room without a broker hears nothing, not even what is said in it. */
class Band {
  readonly world = new World();
  readonly stands = new Map<string, Claims>();
  private readonly rooms = new Map<string, number>();
  private mute = new Set<number>();
  private count = 0;

  constructor(
    private readonly random: () => number,
    private loss: number,
    private readonly jitter: number,
  ) {
    this.world.every(50, () => this.look());
  }

  get ids(): string[] {
    return [...this.stands.keys()];
  }

  come(): string {
    // Ids are in no order of coming.
    this.count += 1;
    const id = `${Math.floor(this.random() * 1e6)}-${this.count}`;
    this.stands.set(id, newClaims(id));
    this.rooms.set(id, 0);
    return id;
  }

  die(id: string, told: boolean): void {
    this.stands.delete(id);
    if (told) for (const other of this.ids) this.change(other, (claims) => standLeft(claims, id));
  }

  part(rooms: readonly number[], mute: readonly number[]): void {
    for (const [index, id] of this.ids.entries()) this.rooms.set(id, rooms[index % rooms.length] ?? 0);
    this.mute = new Set(mute);
  }

  heal(): void {
    this.part([0], []);
  }

  /** All hear each other, and nothing is lost. */
  whole(): void {
    this.heal();
    this.loss = 0;
  }

  ask(id: string): void {
    this.change(id, (claims) => takeLead(claims, this.world.now));
  }

  lay(id: string): void {
    const before = this.stands.get(id);
    this.change(id, layDown);
    if (before && before.role !== 'follows' && before.best) this.say(id, before.best, true);
  }

  /** Somebody says something that no honest stand does. */
  forge(claim: Claim, gone: boolean, deaf: number): void {
    for (const [index, id] of this.ids.entries())
      if (index !== deaf) this.change(id, (claims) => claimHeard(claims, claim, gone, this.world.now));
  }

  private change(id: string, by: (claims: Claims) => Claims): void {
    const claims = this.stands.get(id);
    if (claims) this.stands.set(id, by(claims));
  }

  private look(): void {
    for (const id of this.ids) {
      this.change(id, (claims) => claimsDue(claims, this.world.now));
      const claims = this.stands.get(id) as Claims;
      if (claims.role === 'follows' || claims.renewAt > this.world.now || !claims.best) continue;
      this.say(id, claims.best, false);
      this.change(id, (one) => claimSent(one, this.world.now));
    }
  }

  private say(id: string, claim: Claim, gone: boolean): void {
    const room = this.rooms.get(id) ?? 0;
    if (this.mute.has(room)) return;
    for (const other of this.ids) {
      if (this.rooms.get(other) !== room || this.random() < this.loss) continue;
      this.world.at(this.world.now + 1 + this.jitter * this.random(), () => {
        if (this.rooms.get(other) === room)
          this.change(other, (claims) => claimHeard(claims, claim, gone, this.world.now));
      });
    }
  }

  leaders(): string[] {
    return this.ids.filter((id) => this.stands.get(id)?.role === 'leads');
  }

  views(): (string | null)[] {
    return this.ids.map((id) => leaderOf(this.stands.get(id) as Claims));
  }
}

const happening = fc.oneof(
  fc.record({ kind: fc.constant('ask' as const), who: fc.nat(20) }),
  fc.record({ kind: fc.constant('lay' as const), who: fc.nat(20) }),
  fc.record({ kind: fc.constant('die' as const), who: fc.nat(20), told: fc.boolean() }),
  fc.record({ kind: fc.constant('come' as const) }),
  fc.record({
    kind: fc.constant('part' as const),
    rooms: fc.array(fc.nat(2), { minLength: 1, maxLength: 6 }),
    mute: fc.uniqueArray(fc.nat(2), { maxLength: 2 }),
  }),
  fc.record({ kind: fc.constant('heal' as const) }),
);

/** The network is whole for so long, ms, when all must agree: a leader that has died without a word is missed by then. */
const settledMs = goneMs + renewMs + 3 * leaseMs;

describe('who leads', () => {
  it('is one, and all agree, once the network has been whole for a while, whatever happened', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ wait: fc.nat(20_000), what: happening }), { maxLength: 25 }),
        fc.integer(),
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        fc.double({ min: 0, max: 3000, noNaN: true }),
        (happenings, seed, loss, jitter) => {
          const band = new Band(seeded(seed), loss, jitter);
          for (let count = 0; count < 3; count += 1) band.come();
          const { world } = band;
          for (const { wait, what } of happenings) {
            world.advance(world.now + wait);
            const id = 'who' in what ? (band.ids[what.who % Math.max(1, band.ids.length)] ?? '') : '';
            if (what.kind === 'ask') band.ask(id);
            else if (what.kind === 'lay') band.lay(id);
            else if (what.kind === 'die') band.die(id, what.told);
            else if (what.kind === 'come') band.come();
            else if (what.kind === 'part') band.part(what.rooms, what.mute);
            else band.heal();
          }
          if (band.ids.length < 2) band.come();
          if (band.ids.length < 2) band.come();
          band.whole();
          world.advance(world.now + settledMs);
          expect(band.leaders().length).toBeLessThanOrEqual(1);
          expect(new Set(band.views())).toStrictEqual(new Set([band.leaders()[0] ?? null]));
          expect(band.ids.filter((one) => band.stands.get(one)?.role === 'lapsed')).toStrictEqual([]);
          // Anybody may have it by asking.
          const next = band.ids.at(-1) as string;
          band.ask(next);
          world.advance(world.now + settledMs);
          expect(band.leaders()).toStrictEqual([next]);
          expect(new Set(band.views())).toStrictEqual(new Set([next]));
        },
      ),
      { numRuns: 200 },
    );
  });
});

/** A claim that is made up: at a bound, near what is known, or anywhere. */
const forged = fc.record({
  term: fc.oneof(
    fc.constantFrom(1, 2, nearTerms, nearTerms + 1, mostTerm - 1, mostTerm),
    fc.integer({ min: 1, max: mostTerm }),
  ),
  id: fc.constantFrom('!', '~', '~~'),
});

describe('somebody who claims what cannot be', () => {
  const strange = fc.record({
    claim: forged,
    gone: fc.boolean(),
    deaf: fc.nat(6),
    wait: fc.nat(8000),
    // Some are just above what a stand knows.
    above: fc.option(fc.integer({ min: 1, max: nearTerms })),
  });

  it('does not lock the lead: once that one is away whoever asks has it, and all agree', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.record({ wait: fc.nat(8000), what: happening }), strange), { maxLength: 20 }),
        fc.integer(),
        fc.double({ min: 0, max: 0.4, noNaN: true }),
        (happenings, seed, loss) => {
          const band = new Band(seeded(seed), loss, 300);
          for (let count = 0; count < 3; count += 1) band.come();
          const { world } = band;
          for (const one of happenings) {
            world.advance(world.now + one.wait);
            if ('claim' in one) {
              const known = band.stands.values().next().value?.highest ?? 0;
              const term = one.above === null ? one.claim.term : Math.min(mostTerm, known + one.above);
              band.forge({ ...one.claim, term }, one.gone, one.deaf);
            } else if (one.what.kind === 'ask')
              band.ask(band.ids[one.what.who % Math.max(1, band.ids.length)] ?? '');
            else if (one.what.kind === 'come') band.come();
          }
          band.whole();
          world.advance(world.now + settledMs);
          expect(band.leaders().length).toBeLessThanOrEqual(1);
          const next = band.ids.at(-1) as string;
          band.ask(next);
          world.advance(world.now + settledMs);
          expect(band.leaders()).toStrictEqual([next]);
          expect(new Set(band.views())).toStrictEqual(new Set([next]));
        },
      ),
      { numRuns: 100 },
    );
  });

  it('never takes from anybody the right to be believed: who asks wins at once against what was believed until then', () => {
    fc.assert(
      fc.property(fc.array(forged, { maxLength: 12 }), (claims) => {
        const heard = (id: string): Claims =>
          claims.reduce((known, claim) => claimHeard(known, claim, false, 0), newClaims(id));
        const asked = takeLead(heard('m'), 10);
        const { best } = asked as { best: Claim };
        expect(best.term).toBeGreaterThanOrEqual(1);
        expect(best.term).toBeLessThanOrEqual(mostTerm);
        expect(leaderOf(claimHeard(heard('a'), best, false, 20))).toBe('m');
        // And a stand that has come since, and hears of the two in whatever order, agrees, as long as that one was believed.
        const last = heard('m').best;
        if (last) {
          const [one, other] = [newClaims('b'), newClaims('c')];
          const order = claimHeard(claimHeard(one, last, false, 20), best, false, 20);
          const reverse = claimHeard(claimHeard(other, best, false, 20), last, false, 20);
          expect([leaderOf(order), leaderOf(reverse)]).toStrictEqual(['m', 'm']);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('is not believed by those who know better, and not for long by who has just come', () => {
    const led = claimHeard(newClaims('a'), { term: 4, id: 'm' }, false, 0);
    const absurd = { term: mostTerm, id: '!' };
    expect(leaderOf(claimHeard(led, absurd, false, 1))).toBe('m');
    const fresh = claimHeard(newClaims('b'), absurd, false, 0);
    expect(leaderOf(fresh)).toBe('!');
    expect(leaderOf(claimHeard(fresh, { term: 4, id: 'm' }, false, 1))).toBe('m');
    // A claim that was laid down long ago, and is kept, is no sign that what is claimed now was made up.
    const high = claimHeard(newClaims('b'), { term: 5000, id: 'm' }, false, 0);
    expect(leaderOf(claimHeard(high, { term: 4, id: 'z' }, true, 1))).toBe('m');
  });
});

describe('a claim', () => {
  const led = claimHeard(claimSent(takeLead(newClaims('m'), 0), 0), { term: 1, id: 'm' }, false, 10);

  it('of the higher term wins, then that of the lower id', () => {
    expect(beats({ term: 3, id: 'z' }, { term: 2, id: 'a' })).toBe(true);
    expect(beats({ term: 2, id: 'a' }, { term: 2, id: 'b' })).toBe(true);
    expect(beats({ term: 2, id: 'b' }, { term: 2, id: 'b' })).toBe(false);
    expect(beats({ term: 1, id: 'a' }, { term: 2, id: 'b' })).toBe(false);
  });

  it('that is not heard again lapses, and holds again when it is', () => {
    const sent = claimSent(led, 1000);
    expect(claimsDue(sent, 1000 + leaseMs - 1).role).toBe('leads');
    const lapsed = claimsDue(sent, 1000 + leaseMs);
    expect([lapsed.role, leaderOf(lapsed)]).toStrictEqual(['lapsed', null]);
    expect(claimsWake(lapsed)).toBeLessThanOrEqual(1000 + leaseMs + 1000);
    expect(claimHeard(lapsed, { term: 1, id: 'm' }, false, 9000).role).toBe('leads');
    expect(claimHeard(lapsed, { term: 2, id: 'z' }, false, 9000).role).toBe('follows');
  });

  it('of another with a higher term ends a stand’s own lead, which can be had back by asking', () => {
    const lost = claimHeard(led, { term: 2, id: 'z' }, false, 100);
    expect([lost.role, leaderOf(lost)]).toStrictEqual(['follows', 'z']);
    const back = takeLead(lost, 200);
    expect(back.best).toStrictEqual({ term: 3, id: 'm' });
  });

  it('that is lower is answered at once by who leads', () => {
    expect(claimHeard(led, { term: 1, id: 'z' }, false, 500).renewAt).toBe(500);
    expect(claimHeard(led, { term: 1, id: 'z' }, false, 500).role).toBe('leads');
  });

  it('is given up for gone when nothing is heard of it, or the network says so', () => {
    const follower = claimHeard(newClaims('a'), { term: 1, id: 'm' }, false, 0);
    expect(leaderOf(claimsDue(follower, goneMs - 1))).toBe('m');
    expect(leaderOf(claimsDue(follower, goneMs))).toBeNull();
    expect(leaderOf(standLeft(follower, 'm'))).toBeNull();
    expect(leaderOf(standLeft(follower, 'x'))).toBe('m');
    expect(leaderOf(claimHeard(standLeft(follower, 'm'), { term: 1, id: 'm' }, false, 50))).toBe('m');
  });
});
