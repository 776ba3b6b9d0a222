import { type Findable, findable, findableText, finder } from '../../chart/find/find-songs.js';
import { songFacts } from '../../chart/find/song-facts.js';
import type { Performance } from '../../playback/performance.js';
import { nextSong, songOf } from '../../setlist/run.js';
import { keyName } from '../../theory/key.js';
import { saidMs } from './band.js';
import type { Model } from './model.js';
import type { DrillPlay, HeardPassView, Mode, SetMode, Stand, StandMode, StandSong } from './modes.js';
import type { OrderOverlay, Overlay, OverlayOf } from './overlays.js';

/** The mode, where it shows a chart. */
export function standMode({ mode }: Pick<Model, 'mode'>): StandMode | null {
  return 'stand' in mode ? mode : null;
}

/** Whether its chart fills the screen, and not a card, a rest or the end. */
export function isOnStand(mode: StandMode): boolean {
  if (mode.kind === 'sitting') return mode.phase === 'playing';
  return mode.kind !== 'set' || mode.run.phase === 'song';
}

/** The drill on the stand: one that was chosen, or one of a sitting. */
export function drillOf(mode: Mode): DrillPlay | null {
  return mode.kind === 'drill' || mode.kind === 'sitting' ? mode.play : null;
}

/** The file of the chart on the stand; empty for one that is in no file. */
export function fileOf(mode: Mode): string {
  if (mode.kind === 'chart') return mode.text.file;
  return mode.kind === 'set' ? (songOf(mode.run)?.file ?? '') : '';
}

/** What the stand is drawn from, whatever the mode; `null` where no chart is shown. */
export interface StandView {
  readonly mode: StandMode;
  readonly stand: Stand;
  readonly performance: Performance;
  readonly drill: DrillPlay | null;
}

/** What the stand is drawn from; `null` where no chart is shown. */
export function standView(model: Model): StandView | null {
  const mode = standMode(model);
  const { performance } = model.session;
  return mode && performance ? { mode, stand: mode.stand, performance, drill: drillOf(mode) } : null;
}

/** The bar that a follower looks at while the music is elsewhere, from 0; `null`: where the music is. */
export function lookedAt(mode: Mode): number | null {
  return mode.kind === 'follow' ? (mode.look?.bar ?? null) : null;
}

/** The overlay, where it is of this kind. */
export function overlayOf<K extends Overlay['kind']>(
  { overlay }: Pick<Model, 'overlay'>,
  kind: K,
): OverlayOf<K> | null {
  return overlay?.kind === kind ? (overlay as OverlayOf<K>) : null;
}

/** The songs of a run in which everything that was typed is found, in the key and tempo in which they are played. */
export function ordered({ run }: SetMode, { query }: OrderOverlay): readonly StandSong[] {
  if (query.trim() === '') return run.songs;
  const fitOf = finder(query);
  const having = run.songs.flatMap((song) => {
    const how = fitOf(findableSong(song));
    return how === null ? [] : [{ song, how }];
  });
  return having.sort((one, other) => other.how - one.how).map(({ song }) => song);
}

const searched = new WeakMap<StandSong, Findable>();

function findableSong(song: StandSong): Findable {
  const known = searched.get(song);
  if (known) return known;
  const { chart, start, title } = song;
  const facts = chart && songFacts(chart);
  const made = facts
    ? findable({
        ...facts,
        title,
        ...(start ? { key: start.key, tempo: { ...facts.tempo, bpm: Math.round(start.bpm) } } : {}),
      })
    : findableText(title);
  searched.set(song, made);
  return made;
}

/** The key a song is played in; empty for one that cannot be played. */
export function songKey({ start }: StandSong): string {
  return start ? keyName(start.key) : '';
}

/** What comes after the song at hand, in a few words. */
export function nextText({ run }: SetMode): string {
  const next = nextSong(run);
  return next ? `${next.title} in ${songKey(next)}` : 'that is the last one';
}

/** After a pass, while the music goes on, a line of it is shown so long, ms. */
const lineMs = 8000;

/** The line that the player should read now: what the ear says unasked is shown only for a while. */
export function noticeNow({ notice, ear, band, at }: Model): string {
  if (band && band.says !== '' && notice === band.says) return at - band.saidAt < saidMs ? notice : '';
  const isNeeded = notice !== ear.says || ear.trouble !== '' || ear.company;
  return isNeeded || at - ear.saidAt < lineMs ? notice : '';
}

/** What was heard of the pass before and is shown now: in full while the music rests, as one line for a while when it goes on. */
export function heardShown(model: Model): {
  readonly heard: HeardPassView | null;
  readonly place: 'lines' | 'line' | null;
} {
  const mode = standMode(model);
  const heard = mode && isOnStand(mode) ? mode.stand.heard : null;
  if (!heard) return { heard: null, place: null };
  if (model.session.link.state !== 'running') return { heard, place: 'lines' };
  return { heard, place: model.at - heard.at < lineMs ? 'line' : null };
}
