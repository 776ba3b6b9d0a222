/** A song of a run: what the run needs to know of it. */
export interface RunSong {
  /** Unique within the run: songs are moved, and one file may come twice. */
  readonly id: number;
  readonly title: string;
  /** Seconds its card is shown before it begins, or until somebody says so. */
  readonly gap: number | 'wait';
  /** Minutes of a break before it; 0 for none. */
  readonly breakBefore: number;
  /** How long it takes from the first beat of its count-in, s. */
  readonly seconds: number;
  /** Why it cannot be played; such songs are passed over. */
  readonly problem: string | null;
}

/**
 * Where a run is: showing what is wrong with the set, in a break, showing the card of a song, in a song, or at the end.
 */
export type RunPhase = 'faults' | 'break' | 'card' | 'song' | 'over';

/** A song that was played: from and until when (ms), and whether it came to its own end. */
export interface PlayedOfRun {
  readonly id: number;
  readonly began: number;
  readonly ended: number;
  readonly whole: boolean;
}

/** An evening: songs in the order in which they stand now, and where it is. */
export interface Run<S extends RunSong = RunSong> {
  readonly title: string;
  readonly songs: readonly S[];
  /** The song whose card is shown, that is played, or before which the break is. */
  readonly at: number;
  readonly phase: RunPhase;
  /** When the phase ends by itself, ms; `null` when it waits for the player. */
  readonly until: number | null;
  /** When the song began that is played, ms. */
  readonly began: number;
  /** The id of the song that comes next out of turn. */
  readonly wanted: number | null;
  readonly played: readonly PlayedOfRun[];
}

/** What a run wants done: a song put onto the stand behind its card, the one that stands there played, or what plays stopped. */
export type RunAsk = 'card' | 'play' | 'stop';

/** The result of every step: the next run, and what is to be done, in order. */
export interface Ran<S extends RunSong> {
  readonly run: Run<S>;
  readonly asks: readonly RunAsk[];
}

/**
 * An evening begins: with what is wrong, if something is; else with the card of the song at `from`, or the next one that
 * can be played. One that is taken up again (`waits`) begins with a card that waits.
 */
export function beginRun<S extends RunSong>(
  title: string,
  songs: readonly S[],
  at: number,
  {
    from = 0,
    waits = false,
    played = [],
  }: { from?: number; waits?: boolean; played?: readonly PlayedOfRun[] } = {},
): Ran<S> {
  const run: Run<S> = {
    title,
    songs,
    at: from,
    phase: 'faults',
    until: null,
    began: 0,
    wanted: null,
    played,
  };
  if (songs.some(({ problem }) => problem !== null)) return { run, asks: [] };
  return arrive(run, from, at, { waits, pause: !waits });
}

/** The song whose turn it is. */
export function songOf<S extends RunSong>(run: Run<S>): S | null {
  return run.songs[run.at] ?? null;
}

/** Goes on: past what is wrong, out of a break, from the card into the song. */
export function goOnRun<S extends RunSong>(run: Run<S>, at: number): Ran<S> {
  if (run.phase === 'faults') return arrive(run, run.at, at, { waits: false, pause: true });
  if (run.phase === 'break') return arrive(run, run.at, at, { waits: false, pause: false });
  if (run.phase === 'card') return { run: { ...run, phase: 'song', until: null, began: at }, asks: ['play'] };
  return same(run);
}

/** Time has come to `at`: a break or a gap may be over. */
export function dueRun<S extends RunSong>(run: Run<S>, at: number): Ran<S> {
  return run.until !== null && at >= run.until ? goOnRun(run, at) : same(run);
}

/** The song has come to its end: what was wished for comes next, or what stands next. */
export function songEnded<S extends RunSong>(run: Run<S>, at: number): Ran<S> {
  if (run.phase !== 'song') return same(run);
  const { played, next } = leaving(run, at, true);
  return arrive({ ...run, played, wanted: null }, next, at, { waits: false, pause: true });
}

/** To the next song's card, out of whatever is going on. The card then waits: a player who turns pages by hand begins by hand. */
export function skipSong<S extends RunSong>(run: Run<S>, at: number): Ran<S> {
  if (run.phase === 'faults' || run.phase === 'over') return goOnRun(run, at);
  const { played, next } = leaving(run, at, false);
  const left = arrive({ ...run, played, wanted: null }, next, at, { waits: true, pause: false });
  return { run: left.run, asks: [...stopped(run), ...left.asks] };
}

/** Back: out of a song to its own card, from a card to that of the song before. */
export function backSong<S extends RunSong>(run: Run<S>, at: number): Ran<S> {
  if (run.phase === 'faults') return same(run);
  if (run.phase === 'song')
    return toCard({ ...run, played: leaving(run, at, false).played }, run.at, stopped(run));
  const before = run.songs.findLastIndex(({ problem }, index) => index < run.at && problem === null);
  if (before >= 0) return toCard(run, before, []);
  return run.phase === 'break' ? arrive(run, run.at, at, { waits: true, pause: false }) : same(run);
}

/** The same song again: after the one that is played, or instead of the next one. */
export function againSong<S extends RunSong>(run: Run<S>): Ran<S> {
  if (run.phase === 'song') return wish(run, songOf(run)?.id ?? null);
  const last = run.played.at(-1)?.id;
  const index = run.songs.findIndex(({ id }) => id === last);
  return index >= 0 && run.phase !== 'faults' ? toCard(run, index, []) : same(run);
}

/** To another song: its card comes at once, or after the song that is played. */
export function jumpToSong<S extends RunSong>(run: Run<S>, id: number): Ran<S> {
  const index = run.songs.findIndex((song) => song.id === id && song.problem === null);
  if (index < 0 || run.phase === 'faults') return same(run);
  return run.phase === 'song' ? wish(run, id) : toCard(run, index, []);
}

/** A song goes one place earlier or later, among those that are still to come. */
export function moveSong<S extends RunSong>(run: Run<S>, id: number, way: 1 | -1): Ran<S> {
  const from = run.songs.findIndex((song) => song.id === id);
  const to = from + way;
  if (from < 0 || Math.min(from, to) < firstFree(run) || to >= run.songs.length) return same(run);
  const songs = [...run.songs];
  songs.splice(to, 0, ...songs.splice(from, 1));
  return { run: { ...run, songs }, asks: [] };
}

/** A song that is still to come is left out. */
export function leaveOut<S extends RunSong>(run: Run<S>, id: number): Ran<S> {
  const index = run.songs.findIndex((song) => song.id === id);
  if (index < firstFree(run)) return same(run);
  const songs = run.songs.filter((song) => song.id !== id);
  const left: Run<S> = { ...run, songs, wanted: run.wanted === id ? null : run.wanted };
  // A break that no song follows is the end.
  const ends = run.phase === 'break' && playableFrom(left, left.at) === songs.length;
  return ends
    ? { run: { ...left, at: songs.length, phase: 'over', until: null }, asks: [] }
    : { run: left, asks: [] };
}

/** A song that somebody asks for comes next; at the end of the evening its card comes at once. */
export function addSong<S extends RunSong>(run: Run<S>, song: S): Ran<S> {
  const place = Math.min(run.songs.length, firstFree(run));
  const songs = [...run.songs.slice(0, place), song, ...run.songs.slice(place)];
  const added: Run<S> = { ...run, songs };
  return run.phase === 'over' ? toCard(added, place, []) : { run: added, asks: [] };
}

/** The gap runs no longer: the card waits. */
export function holdCard<S extends RunSong>(run: Run<S>): Ran<S> {
  return run.phase === 'card' && run.until !== null ? { run: { ...run, until: null }, asks: [] } : same(run);
}

/** What comes after the song at hand, if anything does. */
export function nextSong<S extends RunSong>(run: Run<S>): S | null {
  const { next } = leaving(run, 0, false);
  return run.songs[playableFrom(run, next)] ?? null;
}

/** An id that no song of the run has. */
export function freeId(songs: readonly RunSong[]): number {
  return songs.reduce((most, { id }) => Math.max(most, id), 0) + 1;
}

/** Seconds of music, gaps and breaks from a song on; what waits for the player counts as nothing. */
export function secondsFrom(songs: readonly RunSong[], from = 0): number {
  return songs
    .slice(from)
    .filter(({ problem }) => problem === null)
    .reduce(
      (sum, { seconds, gap, breakBefore }) => sum + seconds + (gap === 'wait' ? 0 : gap) + 60 * breakBefore,
      0,
    );
}

/** The first place in the order that is still to come. */
function firstFree(run: Run): number {
  return run.phase === 'break' || run.phase === 'over' ? run.at : run.at + 1;
}

/** A song is left: what was played of it is noted, and where the order goes on. */
function leaving<S extends RunSong>(
  run: Run<S>,
  at: number,
  whole: boolean,
): { played: readonly PlayedOfRun[]; next: number } {
  const song = songOf(run);
  const wanted = run.songs.findIndex(({ id }) => id === run.wanted);
  const next = wanted >= 0 ? wanted : run.at + 1;
  if (run.phase !== 'song' || !song) return { played: run.played, next };
  return { played: [...run.played, { id: song.id, began: run.began, ended: at, whole }], next };
}

function playableFrom(run: Run, index: number): number {
  const found = run.songs.findIndex(({ problem }, place) => place >= index && problem === null);
  return found < 0 ? run.songs.length : found;
}

/** The turn of a song has come, or of the next one that can be played: its break first, if `pause`, then its card. */
function arrive<S extends RunSong>(
  run: Run<S>,
  index: number,
  at: number,
  { waits, pause }: { waits: boolean; pause: boolean },
): Ran<S> {
  const place = playableFrom(run, index);
  const song = run.songs[place];
  // A break counts even if the song after it cannot be played.
  const minutes = run.songs
    .slice(index, place + 1)
    .reduce((most, { breakBefore }) => Math.max(most, breakBefore), 0);
  if (!song) return { run: { ...run, at: run.songs.length, phase: 'over', until: null }, asks: [] };
  if (pause && minutes > 0)
    return { run: { ...run, at: place, phase: 'break', until: at + 60_000 * minutes }, asks: [] };
  const until = waits || song.gap === 'wait' ? null : at + 1000 * song.gap;
  return { run: { ...run, at: place, phase: 'card', until }, asks: ['card'] };
}

/** The player came here by a key: the card waits. */
function toCard<S extends RunSong>(run: Run<S>, index: number, first: readonly RunAsk[]): Ran<S> {
  return { run: { ...run, at: index, phase: 'card', until: null, wanted: null }, asks: [...first, 'card'] };
}

function stopped(run: Run): readonly RunAsk[] {
  return run.phase === 'song' ? ['stop'] : [];
}

/** The same wish again takes it back. */
function wish<S extends RunSong>(run: Run<S>, id: number | null): Ran<S> {
  return { run: { ...run, wanted: run.wanted === id ? null : id }, asks: [] };
}

function same<S extends RunSong>(run: Run<S>): Ran<S> {
  return { run, asks: [] };
}
