import { leads } from '../../band/band.js';
import { safeText } from '../../base/safe-text.js';
import { usualNeck } from '../../hand/neck-sight.js';
import { nextSong, songOf } from '../../setlist/run.js';
import type { Model } from '../state/model.js';
import type { SetMode } from '../state/modes.js';
import { songKey, standMode } from '../state/select.js';
import { usualSight } from '../state/sight.js';
import { headIn, headWords, type Told, titleWords, whereWords } from './bar-words.js';
import type { PartTold } from './part-words.js';
import { counted, spokenNote, spokenWritten, withoutKeys } from './spoken.js';

/** What of a chart is told, as the stand would show it. */
export function toldOf(model: Model): Told {
  const sight = standMode(model)?.stand.sight ?? usualSight;
  const neck = model.look.neck ?? usualNeck;
  const band = partOf(model);
  return band ? { sight, neck, band } : { sight, neck };
}

/** Whose part of a band is told; `null` where one plays alone. */
export function partOf({ band }: Pick<Model, 'band'>): PartTold | null {
  return band && { part: band.band.part, name: band.band.name, capo: band.capo, leads: leads(band.band) };
}

/** Where one is, in a line: in the music, on a card, in a list. */
export function whereIn(model: Model): string {
  const { mode, session, library } = model;
  if (mode.kind === 'library')
    return library ? `in the list “${safeText(library.title)}”; list prints it` : 'nothing is open';
  if (mode.kind === 'set' && mode.run.phase !== 'song') return cardWords(model, mode);
  if (mode.kind === 'sitting' && mode.phase !== 'playing') return sittingWords(model);
  if (!session.performance)
    return mode.kind === 'follow' ? 'no song yet: the leader begins' : 'nothing is on the stand';
  const title = titleWords(session.performance.setup.chart);
  const state = session.link.state === 'running' ? '' : ', not playing';
  if (mode.kind === 'click') {
    const { performance } = session;
    const beat = performance.cursor.beat === null ? '' : `, bar ${performance.cursor.pass}`;
    return `${headIn(model, performance.setup)}${state}${beat}`;
  }
  return `${title}${state}: ${whereWords(session.performance, toldOf(model))}`;
}

/** A card, a break or the end of a set. */
export function cardWords({ session, at }: Model, { run, broken, faults }: SetMode): string {
  if (broken)
    return `a run was broken off at song ${broken.song} of ${broken.of}, ${safeText(broken.title)}; play continues it, anew begins with the first song`;
  const song = songOf(run);
  switch (run.phase) {
    case 'faults':
      return `something is wrong with this set: ${faults.join('; ')}; play goes on without it`;
    case 'break':
      return `a break, ${counted(Math.max(1, Math.ceil(((run.until ?? at) - at) / 60_000)), 'minute')} left; play ends it`;
    case 'over':
      return 'the set is over; leave goes back, again plays the last song again';
    default: {
      const place = `song ${run.at + 1} of ${run.songs.length}`;
      const head = session.performance ? headWords(session.performance.setup) : safeText(song?.title ?? '');
      const gap =
        run.until === null
          ? 'play begins it'
          : `begins in ${counted(Math.max(0, Math.round((run.until - at) / 1000)), 'second')}`;
      const others = song?.goesTo ? `, goes to ${song.goesTo.map(spokenNote).join(', ')}` : '';
      const singer = song?.singer ? `, ${safeText(song.singer)} sings` : '';
      const notes = song?.notes ? `; ${safeText(song.notes.replaceAll('\n', '; '))}` : '';
      return `${place}: ${head}${others}${singer}${notes}; ${gap}`;
    }
  }
}

/** What comes next in a set. */
export function nextWords({ run }: SetMode): string {
  const next = nextSong(run);
  return next ? `next: ${safeText(next.title)} in ${spokenNote(songKey(next))}` : 'that is the last one';
}

/** Between the parts of a sitting. */
export function sittingWords({ mode, at }: Model): string {
  if (mode.kind !== 'sitting') return '';
  const item = mode.items[mode.at];
  const seconds = counted(Math.max(0, Math.round((mode.until - at) / 1000)), 'second');
  if (mode.phase === 'done')
    return `the sitting is over: ${mode.results.map(safeText).map(withoutKeys).join('; ')}`;
  if (item?.kind === 'rest') return `rest, ${seconds}: ${item.says}`;
  if (!item) return 'the sitting goes on';
  const { drill, minutes, why } = item;
  const what = `${safeText(drill.title)}, ${counted(minutes, 'minute')}: ${drill.says}${why === '' ? '' : `; ${safeText(why)}`}`;
  return `${mode.at + 1} of ${mode.items.length}: ${spokenWritten(what)}; play begins it, else in ${seconds}`;
}
