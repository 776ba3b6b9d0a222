import { quiet } from '../band/band.js';
import { neckSight } from '../hand/neck-sight.js';
import { unmoved } from '../playback/session.js';
import { hrtimeMs } from '../player/host.js';
import { type BandFlags, bandCapo } from './band-flags.js';
import { type BandPlace, meet } from './band-meeting.js';
import { exit, Stop, say } from './exit.js';
import { followSong } from './follow-song.js';
import { instrumentFlag } from './instrument-flag.js';
import { followerOutputs } from './outputs.js';
import { type Over, overFor } from './over.js';
import { PlainBand } from './plain-band.js';
import { lastWords, writePatiently } from './plain-terminal.js';
import type { PlayFlags } from './play-options.js';
import { settingsOf } from './settings.js';

/** How long to look for a band, ms. */
const joinMs = 30_000;

const says: Readonly<Record<Over, string>> = {
  left: 'the leader has left',
  alone: 'the pass was played to its end',
  lost: 'the connection to the band was not restored',
};

/** Follows a band to its end, a line a bar. Answers the exit status. */
export async function joinPlain(
  flags: PlayFlags & BandFlags & { readonly instrument?: string },
  place: BandPlace,
): Promise<number> {
  const settings = settingsOf();
  const { part = 'mandolin' } = flags;
  const instrument = flags.instrument === undefined ? null : instrumentFlag(flags.instrument);
  const neck = neckSight(settings.neck, settings.hand);
  const seen = { part, name: place.name, capo: bandCapo(flags.capo), neck };
  const outputs = followerOutputs(flags, settings);
  const isSilent = flags.out === undefined && outputs.outs.every(({ kind }) => kind === 'none');
  if (isSilent) say('this stand plays no sound; use --out sound to hear it');
  writePatiently();
  const began = hrtimeMs();
  let over: Over | null = null;
  let unmet = false;
  const stand = new PlainBand({
    ...seen,
    begins: 'join',
    outputs,
    stats: flags.stats ?? false,
    open: (onEvent) => meet(place, 'join', onEvent),
    put: followSong(flags, settings, instrument),
    onUp: quiet,
    onStep: ({ band, player, joined }) => {
      const at = hrtimeMs();
      over ??= overFor(band, player.session, at);
      unmet ||= !joined && at - began >= joinMs;
      if (over) player.end(over === 'lost' ? exit.machine : exit.done);
      else if (unmet) player.end(exit.machine);
    },
    onStopped: () => {},
  });
  const look = setInterval(() => stand.player.step(unmoved), 500);
  try {
    const status = await stand.run();
    if (unmet)
      throw new Stop(
        status,
        'no band was joined',
        'start the leader, and check that the word and the address match',
      );
    if (over) say(says[over]);
    return status;
  } finally {
    clearInterval(look);
    await lastWords();
  }
}
