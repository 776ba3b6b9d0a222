import { leads, type SharedSet } from '../../../band/band.js';
import { shareNotes, shareSet } from '../../../band/say.js';
import { songOf } from '../../../setlist/run.js';
import type { BandView } from '../../state/band.js';
import type { Model } from '../../state/model.js';
import type { Mode, SetMode } from '../../state/modes.js';
import { songKey } from '../../state/select.js';
import { sharedSession } from '../../state/shared-session.js';
import { inTurn, type Step, step } from '../step.js';
import { goneOut } from './out.js';

/** What a message has room for: characters of a line, songs, lines of notes. */
const mostLine = 200;
const mostSongs = 2000;
const mostLines = 100;

/** A leader shares its running order and its notes when they differ from those last shared. */
export function shared(model: Model, at: number): Step {
  const { band: view, mode } = model;
  if (!view || mode.kind === 'follow') return step(model);
  return inTurn(setShared(model, view, mode, at), (now) => notesShared(now, at));
}

function setShared(model: Model, view: BandView, mode: Mode, at: number): Step {
  const set = mode.kind === 'chart' ? (mode.under ?? null) : mode.kind === 'set' ? mode : null;
  const { shares } = view;
  if (set === null && shares === null && !leftBehind(model, view)) return step(model);
  if (set && shares?.songs === set.run.songs && shares.at === set.run.at) return step(model);
  const next = set && { songs: set.run.songs, at: set.run.at };
  return goneOut(
    { ...model, band: { ...view, shares: next } },
    shareSet(view.band, set ? sharedSet(set) : { title: '', songs: [], at: null }, at),
  );
}

/** Whether this stand has taken over, with the lead, an order that what it plays is not of. */
function leftBehind(model: Model, { band }: BandView): boolean {
  const { set } = band.shared;
  const title = sharedSession(model).performance?.setup.chart.title;
  if (!leads(band) || !set || set.at === null || title === undefined) return false;
  return set.songs[set.at]?.title !== clipped(title);
}

function sharedSet({ run }: SetMode): SharedSet {
  const songs = run.songs.slice(0, mostSongs).map((song) => {
    const key = songKey(song);
    return { title: clipped(song.title), key: key === '' ? null : key };
  });
  return { title: clipped(run.title), songs, at: run.at < songs.length ? run.at : null };
}

function notesShared(model: Model, at: number): Step {
  const { band: view, mode } = model;
  if (!view) return step(model);
  const { performance } = sharedSession(model);
  const text = (mode.kind === 'set' ? songOf(mode.run)?.notes : performance?.setup.chart.notes) ?? '';
  if (text === view.noted) return step(model);
  const lines = text === '' ? [] : text.trimEnd().split('\n').slice(0, mostLines).map(clipped);
  return goneOut({ ...model, band: { ...view, noted: text } }, shareNotes(view.band, lines, at));
}

function clipped(text: string): string {
  return text.slice(0, mostLine);
}
