import type { Chart } from '../chart/chart.js';
import { settled } from '../playback/arranging.js';
import { inTurn, type Played, pause, type Session, unmoved } from '../playback/session.js';
import type { BandStep } from './band.js';
import { type BandPlayed, bandPlayed, forBand } from './play.js';

/** Puts a chart, this very object, on a stand that follows, set up as its player likes. */
export type PutSong = (session: Session, chart: Chart) => Session;

/**
 * A whole step of a stand in its band: the result of its band (`quiet(band)`, `bandHeard`, `lead` …) and of its session, both settled, and
 * brought together. A song that was heard of is put on the stand. The commands that come out are as the stand's player is to have them.
 *
 * @param at now, ms
 */
export function together(step: BandStep, played: Played, at: number, put: PutSong): BandPlayed {
  const songs = step.events.flatMap((event) => (event.kind === 'song' ? [event.song.chart] : []));
  const own = inTurn(
    played,
    ...songs.map((chart) => (session: Session) => songPut(session, chart, put)),
    (now) => settled(now, at),
  );
  const joined = bandPlayed(step.band, own.session, at);
  const both = inTurn(
    own,
    () => joined.played,
    (now) => settled(now, at),
  );
  return {
    band: joined.band,
    publishes: [...step.publishes, ...joined.publishes],
    subscribes: [...step.subscribes, ...joined.subscribes],
    events: [...step.events, ...joined.events],
    played: { ...both, commands: forBand(joined.band, both.commands) },
  };
}

/** What plays is stopped first: its notes end before the other song begins. */
function songPut(session: Session, chart: Chart, put: PutSong): Played {
  return inTurn(pause(session), (now) => unmoved(put(now, chart)));
}
