import { retaken } from '../playback/retake.js';
import {
  type Command,
  inTurn,
  type Played,
  type Session,
  unmoved,
  withPerformance,
  withSetup,
} from '../playback/session.js';
import { beatMs } from '../playback/setup.js';
import { asksDueAt } from './asks.js';
import { type Band, type BandStep, leaderId, leads, quiet, steps } from './band.js';
import { type Claims, claimsDue, claimsWake } from './claims.js';
import { asked, asksAt, isFine } from './clock.js';
import { followed, setUpAs } from './follow.js';
import { followedAlone, onItsOwn } from './follow-on.js';
import { leaderNoticed, notComeAgain } from './hear.js';
import { differs, nowOf, quietUntil, soonest, stillTold } from './leader.js';
import { mostChartBytes } from './messages.js';
import type { Now } from './now.js';
import { ownNames } from './parts.js';
import { asksSaid, claimed, ledSaid, said, sharedAgain, termOf } from './say.js';
import { songFromChart } from './song.js';
import { clockTopic, standTopics } from './topics.js';

/** How long the network may be away before the leader counts as gone, ms. */
const aloneMs = 15_000;

/** How long a song may be missing before it is asked for again, ms. */
const missedMs = 3000;

/** A step of a stand that plays in a band: what it says, and what it plays. */
export interface BandPlayed extends BandStep {
  readonly played: Played;
}

/**
 * Brings a stand's session and its band together: the leader tells what has changed, a follower plays what it was told. To be called after
 * every step of the session, after everything that was heard, and at `bandWake`. What it plays is to be `settled` afterwards.
 */
export function bandPlayed(band: Band, before: Session, at: number): BandPlayed {
  if (band.id === null || !band.claims) return { ...quiet(band), played: unmoved(before) };
  const due = steps(
    quiet({ ...band, claims: claimsDue(band.claims, at) }),
    (now) => notComeAgain(now, at),
    (now) => leaderNoticed(now, at),
  );
  const role = (due.band.claims as Claims).role;
  const session = withOwnNames(before, due.band, role !== 'follows');
  if (role !== 'follows') {
    const own = takenOver(due.band, session);
    const told = steps(
      { ...due, band: own.band },
      (now) => (role === 'leads' ? tell(now, own.played.session, at) : quiet(now)),
      (now) => renewed(now, at),
    );
    return { ...told, played: own.played };
  }
  const step = steps(
    due,
    (now) => renewed(now, at),
    (now) => question(now, session, at),
    (now) => asksSaid(now, at),
  );
  const following = follow(step.band, session, at);
  return { ...steps(step, () => following), played: following.played };
}

/** When to call `bandPlayed` next though nothing has happened, ms. */
export function bandWake(band: Band, session: Session): number {
  const { claims, clock, told } = band;
  if (!claims) return Number.POSITIVE_INFINITY;
  const ask =
    clock && band.up && leaderId(band) !== null ? asksAt(clock, beatOf(session)) : Number.POSITIVE_INFINITY;
  const telling =
    leads(band) && told
      ? Math.min(quietUntil(told, beatOf(session)), band.pending ? soonest(told) : Number.POSITIVE_INFINITY)
      : Number.POSITIVE_INFINITY;
  const alone = !band.up && !band.alone && band.now ? band.downAt + aloneMs : Number.POSITIVE_INFINITY;
  const leader = leaderId(band);
  const wish =
    band.up && leader !== null && leader !== band.id
      ? asksDueAt(band.asks, leader)
      : Number.POSITIVE_INFINITY;
  return Math.min(claimsWake(claims), ask, telling, alone, wish, band.awaitedUntil);
}

/** This much later than it could the leader's music begins, ms: all others have heard of it before its first beat. */
const beginsAfter = 150;

/** The commands of a stand's session as its player should get them: where it leads, all begin together. */
export function forBand(band: Band, commands: readonly Command[]): readonly Command[] {
  if (!leads(band) || band.members.size === 0) return commands;
  return commands.map((command) =>
    command.kind === 'tell' && command.message.kind === 'play'
      ? { ...command, message: { ...command.message, after: beginsAfter } }
      : command,
  );
}

/** How long a beat lasts while the music runs. */
function beatOf({ link, performance }: Session): number | null {
  return link.state === 'running' && performance ? beatMs(performance.setup) : null;
}

/** The session with the names that mean its player in the form: in a song that somebody else leads, `me` is the leader. */
function withOwnNames(session: Session, { name, part, song }: Band, leading: boolean): Session {
  const { performance } = session;
  if (!performance) return session;
  const led = leading || performance.setup.chart !== song?.chart;
  const mine = ownNames(part, name, led);
  return performance.setup.mine?.join('\n') === mine.join('\n') ? session : withSetup(session, { mine });
}

/** A stand that begins to lead what it followed goes on by its own time, from where it is. */
function takenOver(band: Band, session: Session): { band: Band; played: Played } {
  const running = session.link.state === 'running' && !(session.performance?.tuning ?? false);
  const lined: Played =
    band.lined && running
      ? { session, commands: [{ kind: 'tell', message: { kind: 'line', spans: null } }], events: [] }
      : unmoved(session);
  const starts = running && !band.wasRunning;
  const takes = band.takes + (starts ? 1 : 0);
  const led = starts ? { take: `${band.id}.${takes}`, shift: 0 } : band.led;
  return { band: { ...band, lined: false, wasRunning: running, takes, led }, played: lined };
}

/** The leader tells what has changed. */
function tell(band: Band, session: Session, at: number): BandStep {
  const chart = session.performance?.setup.chart ?? null;
  const song = chart === null ? null : band.song?.chart === chart ? band.song : songFromChart(chart);
  // A chart that is too long to be sent is played alone.
  if (song && song.source.length > mostChartBytes / 4 && utf8Length(song.source) > mostChartBytes)
    return band.toldSong === song.id
      ? quiet({ ...band, song })
      : {
          ...quiet({ ...band, song, toldSong: song.id }),
          events: [
            {
              kind: 'unreadable',
              reason: 'this chart is longer than a mebibyte; the others cannot follow it',
            },
          ],
        };
  const own = { ...band, song, pending: false };
  const body = nowOf(session, song?.id ?? null, own.led, at) ?? (chart === null ? leftOff(own) : null);
  const beginning = own.toldSong === null && own.told === null ? sharedAgain(own, at) : [];
  const songTold = (now: Band): BandStep =>
    song && now.toldSong !== song.id
      ? steps(
          ledSaid(now, 'song', { kind: 'song', term: termOf(now), song: song.id, source: song.source }, at),
          (one) => quiet({ ...one, toldSong: song.id }),
        )
      : quiet(now);
  const nowTold = (now: Band): BandStep => {
    if (!body) return quiet(now);
    const { told } = now;
    const changed = told === null || differs(told, session, body, at);
    if (told && changed && at < soonest(told)) return quiet({ ...now, pending: true });
    if (told && !changed && at < quietUntil(told, beatOf(session)))
      return quiet({ ...now, told: stillTold(told, session) });
    const step = ledSaid(now, 'now', { kind: 'now', term: termOf(now), body }, at);
    const conductor = session.performance?.conductor ?? null;
    return { ...step, band: { ...step.band, told: { body, conductor, spans: session.link.spans, at } } };
  };
  return steps(quiet(own), ...beginning, songTold, nowTold);
}

/** The shared music was left for something that is not shared: it has stopped. `null` where that is known. */
function leftOff({ told }: Band): Now | null {
  if (told?.body.state !== 'running') return null;
  return { ...told.body, state: 'stopped', spans: [], places: [], jump: null, vamp: null };
}

function utf8Length(text: string): number {
  return new TextEncoder().encode(text).length;
}

/** The own claim is said again when it is time. */
function renewed(band: Band, at: number): BandStep {
  const { claims } = band;
  return claims && claims.role !== 'follows' && at >= claims.renewAt ? claimed(band, at) : quiet(band);
}

/** The leader's clock is asked when it is time. */
function question(band: Band, session: Session, at: number): BandStep {
  const { clock, up } = band;
  if (!clock || !up || leaderId(band) === null || at < asksAt(clock, beatOf(session))) return quiet(band);
  return said({ ...band, clock: asked(clock, at) }, clockTopic, { kind: 'question', t1: at }, false, 0);
}

/** A follower plays what was told, or, where nobody tells any more, to the end of the pass. */
function follow(band: Band, session: Session, at: number): BandPlayed {
  const { song, now, follower, clock } = band;
  const known = song !== null && now?.body.song === song.id;
  const mine = known && session.performance?.setup.chart === song.chart;
  if (!mine) return { ...(known ? quiet(band) : songMissed(band, at)), played: unmoved(session) };
  const gone = leaderId(band) === null || (!band.up && at - band.downAt >= aloneMs);
  if (!gone) {
    const line = clock && (follower.take !== null || isFine(clock, at)) ? clock.line : null;
    const step = followed(follower, setUpAs(session, now.body), now.body, line, at);
    const next = { ...band, alone: false, follower: step.follower, lined: step.follower.played.length > 0 };
    return { ...quiet(next), played: step };
  }
  if (follower.take === null) return { ...quiet(band), played: unmoved(session) };
  const ends = band.alone ? unmoved(session) : passEnds(session, at);
  const own = band.alone ? follower : onItsOwn(follower, session, at);
  const step = followedAlone(own, ends.session, at);
  const played = inTurn(ends, () => step);
  return {
    ...quiet({ ...band, alone: true, follower: step.follower }),
    events: band.alone ? [] : [{ kind: 'alone' }],
    played,
  };
}

/** A song that is played and was not heard of is asked for again: the broker says what it keeps to whoever subscribes. */
function songMissed(band: Band, at: number): BandStep {
  const { id, now, askedAgain } = band;
  const missing = now !== null && now.body.song !== null && now.body.song !== band.song?.id;
  if (!missing || id === null || !band.up || at < askedAgain + missedMs) return quiet(band);
  // At first it may only be on its way, after what is said of it.
  const first = askedAgain === Number.NEGATIVE_INFINITY;
  return { ...quiet({ ...band, askedAgain: at }), subscribes: first ? [] : standTopics(id) };
}

/** The pass that is played becomes the last one. */
function passEnds(session: Session, at: number): Played {
  const { performance } = session;
  if (!performance) return unmoved(session);
  const ends = withSetup(session, { passes: performance.cursor.pass, holds: false });
  const cleared = withPerformance(ends, {
    jump: null,
    vamp: null,
  });
  return retaken(cleared, at);
}
