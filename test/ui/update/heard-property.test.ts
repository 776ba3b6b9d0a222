import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { passView } from '../../../src/playback/pass-view.js';
import { drillsFor } from '../../../src/shed/drills.js';
import type { PassResult } from '../../../src/shed/ladder.js';
import { seeded } from '../../../src/shed/seeded.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { standMode } from '../../../src/ui/state/select.js';
import { having, onStand, running, standing, viewOf } from '../model.js';
import { listening, type Playing, told } from './heard-verdicts.js';

/** What happens at a time of a trial, in quarters of a second from its beginning. */
type Happening =
  | { readonly kind: 'says'; readonly result: 'clean' | 'miss' }
  | { readonly kind: 'pause' }
  | { readonly kind: 'ear' };

interface Trial {
  readonly happenings: readonly (readonly [quarter: number, what: Happening])[];
  /** How each pass is heard, and how late, ms; `null`: never. */
  readonly verdicts: readonly (readonly [playing: Playing, late: number] | null)[];
  readonly ends: 'leave' | 'back';
}

const trials: fc.Arbitrary<Trial> = fc.record({
  happenings: fc.array(
    fc.tuple(
      fc.integer({ min: 0, max: 240 }),
      fc.oneof(
        {
          weight: 8,
          arbitrary: fc.record({
            kind: fc.constant('says' as const),
            result: fc.constantFrom('clean' as const, 'miss' as const),
          }),
        },
        { weight: 1, arbitrary: fc.record({ kind: fc.constant('pause' as const) }) },
        { weight: 1, arbitrary: fc.record({ kind: fc.constant('ear' as const) }) },
      ),
    ),
    { maxLength: 14 },
  ),
  verdicts: fc.array(
    fc.option(
      fc.tuple(
        fc.constantFrom<Playing>('clean', 'not clean', 'not heard'),
        fc.integer({ min: 100, max: 9000 }),
      ),
    ),
    { minLength: 12, maxLength: 12 },
  ),
  ends: fc.constantFrom('leave' as const, 'back' as const),
});

/** A pass that was over, as the trial itself follows it. */
interface Followed {
  readonly began: number;
  /** What the player said of it, as the program answered; and what the ear had said when it was kept. */
  said: PassResult | null;
  heard: PassResult | null;
  kept: PassResult[];
}

/** Feeds messages, and follows by the program's answers to which pass each word was said. */
class Follower {
  passes: Followed[] = [];
  /** What was said of the pass that is played. */
  private during: PassResult | null = null;
  private told = 0;
  private readonly due: { readonly at: number; readonly message: Message; readonly pass: Followed }[] = [];

  constructor(
    public model: Model,
    private readonly trial: Trial,
  ) {}

  send(message: Message): void {
    const before = onStand(this.model);
    const done = having(this.model, message);
    this.model = done.model;
    const after = onStand(this.model);
    const began = before?.passBegan ?? null;
    const isLoop = after && before && after.cursor.pass > before.cursor.pass;
    const isTake =
      message.kind === 'player' && message.message.kind === 'state' && message.message.state === 'stopped';
    if (began !== null && (isLoop || isTake)) this.over(began, 'at' in message ? message.at : 0);
    if (done.effects.some((one) => one.kind === 'tell' && one.message.kind === 'play')) this.during = null;
    for (const effect of done.effects)
      if (effect.kind === 'record') {
        // Passes are kept in the order in which they were played.
        const open = this.passes.find(({ kept }) => kept.length === 0) ?? this.passes.at(-1);
        if (!open) throw new Error('kept before any pass was over');
        open.kept.push(effect.result);
      }
  }

  private over(began: number, at: number): void {
    const pass: Followed = { began, said: this.during, heard: null, kept: [] };
    this.during = null;
    this.passes.push(pass);
    const verdict = this.trial.verdicts[this.told];
    this.told += 1;
    if (verdict) {
      const [playing, late] = verdict;
      this.due.push({ at: at + late, message: told(playing, began, at + late), pass });
    }
  }

  /** The ear's words that are due until `at`. */
  hear(at: number): void {
    for (const one of this.due.splice(0)) {
      if (one.at > at) {
        this.due.push(one);
        continue;
      }
      const { message, pass } = one;
      // What comes when it listens no longer is not taken.
      const isOn = this.model.ear.on;
      if (
        isOn &&
        pass.kept.length === 0 &&
        message.kind === 'pass-told' &&
        message.told.kind === 'pass-heard'
      ) {
        const { result } = message.told.verdict;
        pass.heard = result === 'clean' ? 'clean' : result === 'not clean' ? 'miss' : null;
      }
      this.send({ ...message, at } as Message);
    }
  }

  /** The player's word. The program's answer tells of which pass it was taken. */
  says(result: 'clean' | 'miss', at: number): void {
    const open = standMode(this.model)?.stand.pending ?? null;
    const pass = this.passes.at(-1);
    if (open && open.said === null && pass && open.began === pass.began) pass.said = result;
    else if (this.model.session.link.state === 'running') this.during = result;
    this.send({ kind: 'action', action: result === 'clean' ? 'mark-clean' : 'mark-miss', at });
  }
}

const state = (name: 'running' | 'paused' | 'stopped', tick: number, at: number): Message => ({
  kind: 'player',
  at,
  message: { kind: 'state', state: name, tick },
});

/** The music follows what is asked for at once; then the program is left. */
function run(follower: Follower, trial: Trial, stops: (model: Model, at: number) => Message[]): void {
  const happenings = [...trial.happenings].sort(([one], [other]) => one - other);
  for (let quarter = 0; quarter <= 240; quarter += 1) {
    const at = 250 * quarter + 10;
    follower.send({ kind: 'clock', at });
    for (const message of stops(follower.model, at)) follower.send(message);
    follower.hear(at);
    for (const [when, what] of happenings) {
      if (when !== quarter) continue;
      if (what.kind === 'says') follower.says(what.result, at);
      else if (what.kind === 'ear') follower.send({ kind: 'action', action: 'listen', at });
      else if (follower.model.session.link.state === 'running') {
        follower.send({ kind: 'action', action: 'play', at });
        follower.send(state('paused', follower.model.session.link.freeTick + 10, at));
      }
    }
  }
  follower.send({ kind: 'action', action: trial.ends, at: 61_000 });
  follower.send({ kind: 'action', action: 'leave', at: 61_100 });
}

function expectKept({ passes }: Follower): void {
  for (const { kept, said, heard } of passes) {
    expect(kept).toHaveLength(1);
    expect(kept[0]).toBe(said ?? heard ?? 'unmarked');
  }
}

describe('whatever comes in which order', () => {
  it('each pass of a loop is kept exactly once, with the player’s word where there was one, else the ear’s', () => {
    const looped = having(
      standing('weir-hands'),
      { kind: 'action', action: 'bar-on', at: 0 },
      { kind: 'action', action: 'loop-to', at: 0 },
      { kind: 'action', action: 'to-start', at: 0 },
    ).model;
    let passes = 0;
    fc.assert(
      fc.property(trials, (trial) => {
        const follower = new Follower(running(listening(looped)).model, trial);
        run(follower, trial, () => []);
        expectKept(follower);
        passes += follower.passes.length;
      }),
      { numRuns: 16, seed: 20 },
    );
    expect(passes).toBeGreaterThan(40);
  });

  it('so is each pass on a ladder, and the ladder stands on the same words', () => {
    const base = listening(standing('weir-hands', 100, 30));
    const { performance } = viewOf(base);
    const view = passView(performance);
    const drill =
      view && drillsFor(performance.setup.chart, view.plan, 0, seeded(1)).find(({ kind }) => kind === 'pair');
    if (!drill) throw new Error('no pair');
    const model = having(base, { kind: 'drill-chosen', drill }).model;
    let passes = 0;
    fc.assert(
      fc.property(trials, (trial) => {
        const follower = new Follower(having(model, { kind: 'action', action: 'play', at: 0 }).model, trial);
        let since: number | null = null;
        run(follower, trial, (now, at): Message[] => {
          const { link } = now.session;
          if (link.state !== 'running') {
            since = null;
            if (!now.session.performance?.conductor) return [];
            since = at;
            const tick = link.freeTick;
            // Four times as fast as it would be: a pass lasts two bars' time.
            return [
              state('running', tick, at),
              {
                kind: 'player',
                at,
                message: { kind: 'spans', spans: [{ tick, time: at, msPerTick: 250 / 960 }] },
              },
            ];
          }
          if (now.session.performance?.conductor == null) return [state('paused', link.freeTick + 10, at)];
          if (since === null || at - since < 9 * 1000) return [];
          return [state('stopped', link.freeTick + 50_000, at)];
        });
        for (const { kept, said, heard } of follower.passes) {
          expect(kept).toHaveLength(1);
          expect(kept[0]).toBe(said ?? heard ?? 'unmarked');
        }
        passes += follower.passes.length;
      }),
      { numRuns: 16, seed: 21 },
    );
    expect(passes).toBeGreaterThan(16);
  });
});
