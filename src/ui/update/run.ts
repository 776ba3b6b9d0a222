import { quartersPerBeat, quarterTempo } from '../../chart/chart.js';
import { startDelay } from '../../player/messages.js';
import {
  addSong,
  againSong,
  backSong,
  beginRun,
  dueRun,
  goOnRun,
  holdCard,
  jumpToSong,
  leaveOut,
  moveSong,
  nextSong,
  type Ran,
  skipSong,
  songEnded,
  songOf,
} from '../../setlist/run.js';
import { changeNames } from '../../shed/change-id.js';
import { keyName } from '../../theory/key.js';
import { programMessages } from '../../time/sound.js';
import type { Action } from '../keymap.js';
import type {
  Effect,
  KeptSong,
  Message,
  Model,
  PassRecord,
  SetRun,
  Stand,
  StandSong,
  Updated,
} from '../model.js';
import { handMoment, passView } from '../pass-view.js';
import { openChart } from './arranging.js';
import { joined } from './joined.js';
import { finds } from './library.js';
import { passRecord } from './pass-record.js';
import { playIfEager } from './transport.js';

/** A foot switch that is held down repeats itself; the first time after this long at the most, ms (usual settings: 250 to 660). */
const repeatMs = 700;
/** Within this time leaving must be asked for again, ms. */
const leaveMs = 3000;

/** A song that was not paused yet. */
const notPaused: SetRun['paused'] = { sum: 0, since: null };

/** A set is run. */
export function openRun(model: Model, message: Extract<Message, { kind: 'set-opened' }>): Updated {
  const { file, title, songs, faults, from, waits, broken, notice, at } = message;
  const ran = beginRun(title, songs, at, { from, waits });
  const set: SetRun = {
    file,
    // Until somebody has said what is to become of the run before, nothing begins.
    run: broken ? { ...ran.run, phase: 'faults', until: null } : ran.run,
    broken,
    keeps: waits,
    since: at,
    faults,
    pressed: null,
    paused: notPaused,
    leaving: null,
    marks: 0,
    chosen: 0,
    query: '',
    requests: null,
    asked: null,
  };
  const opened: Model = {
    ...model,
    set,
    screen: 'stand',
    panel: null,
    entry: null,
    sitting: null,
    notice,
    at,
    stand: null,
  };
  if (broken) return { model: opened, effects: [] };
  const done = ranOn(opened, set, ran, at);
  return { ...done, model: { ...done.model, notice: done.model.notice || notice } };
}

/** Whoever opens a list on a card has a hand free: the gap waits meanwhile, and after it. */
export function handsOn({ set }: Model): Pick<Model, 'set'> {
  return { set: set && { ...set, run: holdCard(set.run).run } };
}

/** A key or pedal that concerns the run; `null` when it is none of these. */
export function runAction(model: Model, set: SetRun, action: Action, at: number): Updated | null {
  if (action === 'go-on' && isLed(model, set))
    return { model: { ...model, notice: 'the outside clock starts the music' }, effects: [] };
  const step = stepOf(set, action, at);
  return step && ranOn(model, { ...set, leaving: null }, step, at);
}

/** Whether an outside clock begins the song whose card is shown. */
function isLed({ player }: Model, { run }: SetRun): boolean {
  return player.following.label !== null && run.phase === 'card';
}

/** An outside clock has begun the song. */
export function ledIntoSong(model: Model, at: number): Model {
  const { set, stand } = model;
  if (!set || !stand || stand.tuning || !isLed(model, set)) return model;
  const run = { ...set.run, phase: 'song' as const, until: null, began: at };
  return { ...model, stand: { ...stand, begun: true }, set: { ...set, run, since: at } };
}

/** The music of a song has been paused, or goes on: what it rests is no playing. */
export function pauseNoted(model: Model, state: Model['player']['state'], at: number): Model {
  const { set } = model;
  if (set?.run.phase !== 'song' || model.stand?.tuning) return model;
  const { sum, since } = set.paused;
  if (state === 'paused' && since === null) return { ...model, set: { ...set, paused: { sum, since: at } } };
  if (state === 'running' && since !== null)
    return { ...model, set: { ...set, paused: { sum: sum + at - since, since: null } } };
  return model;
}

/** A foot switch that is held down repeats its key, and a terminal does not say when it is let go: all that is one press. */
export function isRepeated({ pressed }: SetRun, key: string, at: number): boolean {
  return pressed?.key === key && at - pressed.at < repeatMs;
}

function stepOf({ run }: SetRun, action: Action, at: number): Ran<StandSong> | null {
  switch (action) {
    case 'go-on':
      return goOnRun(run, at);
    case 'song-next':
      return skipSong(run, at);
    case 'song-back':
      return backSong(run, at);
    case 'song-again':
      return againSong(run);
    case 'card-holds':
      return holdCard(run);
    default:
      return null;
  }
}

/** Time has come to `at`: a break or a gap may be over. The count begins when the gap ends, for which the player needs a moment. */
export function runDue(model: Model, set: SetRun, at: number): Updated {
  const { run } = set;
  const ahead = run.phase === 'card' ? startLead(model) : 0;
  if (run.until === null || at < run.until - ahead || isLed(model, set)) return { model, effects: [] };
  return ranOn(model, set, dueRun(run, Math.max(at, run.until)), at);
}

/** From play until the first click, ms. */
function startLead({ player }: Model): number {
  return startDelay + player.lead;
}

/** When something changes by itself on a run's own screens, ms: the gap's end, a second of a clock, a beat of the pulse. */
export function runDueAt(model: Model, set: SetRun): number | null {
  const { run, since } = set;
  const ends =
    run.until === null || isLed(model, set)
      ? Number.POSITIVE_INFINITY
      : run.until - (run.phase === 'card' ? startLead(model) : 0);
  if (run.phase === 'break') return Math.min(ends, nextSecond(run.until ?? model.at, model.at));
  if (run.phase !== 'card') return null;
  const beat = pulseMs(model.stand);
  const next =
    beat === null
      ? Number.POSITIVE_INFINITY
      : since + (Math.floor((model.at - since) / beat + 1e-6) + 1) * beat;
  const due = Math.min(
    ends,
    next,
    run.until === null ? Number.POSITIVE_INFINITY : nextSecond(run.until, model.at),
  );
  return Number.isFinite(due) ? due : null;
}

/** When a clock that counts down to a time next shows another second. */
function nextSecond(until: number, at: number): number {
  const left = until - at;
  return left <= 0 ? Number.POSITIVE_INFINITY : until - (Math.ceil(left / 1000 - 1e-6) - 1) * 1000;
}

/** How long a felt beat of the song on the stand lasts, ms. */
export function pulseMs(stand: Stand | null): number | null {
  if (!stand) return null;
  const { chart, bpm } = stand;
  return (60_000 * quartersPerBeat(chart.meter)) / quarterTempo({ ...chart.tempo, bpm });
}

/** The song has come to its end. */
export function songOver(model: Model, set: SetRun, at: number): Updated {
  return ranOn(model, set, songEnded(set.run, at), at);
}

/** Does what a step of the run asks for. */
export function ranOn(model: Model, set: SetRun, { run, asks }: Ran<StandSong>, at: number): Updated {
  const left = set.run.phase === 'song' && run.phase !== 'song' ? leftSong(model, set, at) : [];
  const changed = run.phase !== set.run.phase || run.at !== set.run.at || asks.length > 0;
  const next: SetRun = {
    ...set,
    run,
    keeps: set.keeps || set.run.phase === 'song' || run.phase === 'song',
    since: changed ? at : set.since,
    paused: changed ? notPaused : set.paused,
  };
  let done: Updated = { model: { ...model, set: next, at }, effects: left };
  for (const ask of asks) {
    if (ask === 'stop' && !asks.includes('card')) done = joined(done, stop(done.model));
    if (ask === 'card') done = joined(done, showCard(done.model, next));
    if (ask === 'play') done = joined(done, playSong(done.model));
  }
  if (changed && next.keeps) done = joined(done, { model: done.model, effects: [keepRun(next)] });
  if (run.phase === 'over' || run.phase === 'break') done = joined(done, stop(done.model));
  return done;
}

function stop(model: Model): Updated {
  const running = model.player.state === 'running';
  const effects: Effect[] = [{ kind: 'tell', message: { kind: 'idle', msPerPulse: null } }];
  return { model, effects: running ? [{ kind: 'tell', message: { kind: 'pause' } }, ...effects] : effects };
}

/** The song comes onto the stand behind its card: the hand is planned, and other gear told what it needs. */
function showCard(model: Model, { run }: SetRun): Updated {
  const song = songOf(run);
  if (!song?.chart || !song.start) return { model, effects: [] };
  const opened = openChart(model, {
    kind: 'chart-opened',
    file: song.file,
    chart: song.chart,
    source: song.source,
    start: song.start,
  });
  // In the middle of the order or of a request nothing is taken away; the card waits until that is done.
  const { panel, entry } = model;
  const busy = panel === 'order' || panel === 'requests';
  const shown: Model = busy ? { ...opened.model, panel, entry, ...handsOn(model) } : opened.model;
  const { stand } = shown;
  const quarter = stand ? 60_000 / quarterTempo({ ...stand.chart.tempo, bpm: stand.bpm }) : 500;
  return {
    model: shown,
    effects: [
      ...opened.effects,
      ...cardMessages({ run }),
      { kind: 'tell', message: { kind: 'idle', msPerPulse: quarter / 24 } },
    ],
  };
}

/** Programs that other gear is sent while the card is shown, so that it is ready before the count. */
export function cardMessages({ run }: Pick<SetRun, 'run'>): readonly Effect[] {
  const song = songOf(run);
  if (run.phase !== 'card' || !song?.start) return [];
  const messages = [...programMessages(song.start.sound), ...song.messages];
  return [{ kind: 'tell', message: { kind: 'send', messages } }];
}

/** The song begins: at once, or as soon as its hand is planned. */
function playSong(model: Model): Updated {
  const { stand } = model;
  if (!stand) return { model, effects: [] };
  const eager: Model = { ...model, panel: null, entry: null, notice: '', stand: { ...stand, eager: true } };
  if (stand.tuning) return { model: eager, effects: [{ kind: 'tell', message: { kind: 'pause' } }] };
  return playIfEager(eager);
}

/** The program is left: what was played of the song that is going on is kept. */
export function leftInSong(model: Model, set: SetRun, at: number): readonly Effect[] {
  return set.run.phase === 'song' ? leftSong(model, set, at) : [];
}

/** What was played of the song that is left, for the diary. */
function leftSong(model: Model, set: SetRun, at: number): Effect[] {
  const { stand } = model;
  if (!stand?.begun) return [];
  const { sum, since } = set.paused;
  const rested = sum + (since === null ? 0 : at - since);
  const record = songRecord(stand, set, Math.max(0, at - set.run.began - rested));
  return [{ kind: 'record', record, result: stand.mark ?? 'unmarked' }];
}

function songRecord(stand: Stand, { run }: SetRun, ms: number): PassRecord {
  const changes = changeNames(passView(stand)?.plan.changes ?? []);
  return { ...passRecord(stand, changes, ms), set: run.title };
}

/** Marks the place under the cursor: something there is to be looked at later. */
export function markLater(model: Model, stand: Stand): Updated {
  const view = passView(stand);
  const played = view?.bars[stand.cursor.bar];
  if (!view || !played) return { model, effects: [] };
  const bar = stand.cursor.bar + 1;
  const { now, next } = handMoment(view, stand.cursor.bar, stand.cursor.beat ?? 0, stand.range);
  const around = [now, next?.change].flatMap((change) => (change ? [change] : []));
  const base = passRecord(stand, changeNames(around), 0);
  const record: PassRecord = { ...base, what: 'later', set: model.set?.run.title ?? null, bar };
  const set = model.set && { ...model.set, marks: model.set.marks + 1 };
  return {
    model: { ...model, set, notice: `bar ${bar} is marked: look at it later` },
    effects: [{ kind: 'mark-later', record }],
  };
}

/** Esc: the first time it says that a second one leaves. Nothing is stopped by a slip of the finger. */
export function leaveRun(model: Model, set: SetRun, at: number): Updated {
  const sure =
    set.run.phase === 'over' ||
    set.run.phase === 'faults' ||
    (set.leaving !== null && at - set.leaving < leaveMs);
  if (!sure)
    return {
      model: { ...model, set: { ...set, leaving: at }, notice: 'Esc again leaves the set' },
      effects: [],
    };
  const left = leftInSong(model, set, at);
  const stopped = stop(model);
  const ended: Model = {
    ...model,
    set: null,
    stand: null,
    panel: null,
    entry: null,
    screen: 'library',
    notice: '',
  };
  const leave: Effect[] = model.library ? [] : [{ kind: 'leave' }];
  return { model: ended, effects: [...left, ...stopped.effects, ...leave] };
}

/** What is kept of a run: the songs as they stand, and which one it is at. */
function keepRun({ file, run }: SetRun): Effect {
  if (run.phase === 'over') return { kind: 'keep-run', file, run: null };
  const songs = run.songs.map(
    (song): KeptSong => ({ file: song.file, entry: song.entry, key: songKey(song) }),
  );
  return { kind: 'keep-run', file, run: { songs, at: run.at } };
}

/** A line of the running order was chosen, moved, or left out. */
export function orderAction(model: Model, set: SetRun, action: Action, at: number): Updated {
  const found = ordered(set);
  const song = found[Math.min(set.chosen, found.length - 1)];
  const choose = (chosen: number): Updated => ({
    model: { ...model, set: { ...set, chosen: Math.max(0, Math.min(found.length - 1, chosen)) } },
    effects: [],
  });
  switch (action) {
    case 'order-back':
      return choose(set.chosen - 1);
    case 'order-on':
      return choose(set.chosen + 1);
    case 'order-erase':
      return {
        model: { ...model, set: { ...set, query: [...set.query].slice(0, -1).join(''), chosen: 0 } },
        effects: [],
      };
    case 'order-jump': {
      if (!song) return { model, effects: [] };
      const done = ranOn({ ...model, panel: null }, { ...set, query: '' }, jumpToSong(set.run, song.id), at);
      const wanted = done.model.set?.run.wanted;
      const notice = wanted === song.id ? `after this song: ${song.title}` : done.model.notice;
      return { ...done, model: { ...done.model, notice } };
    }
    case 'order-earlier':
    case 'order-later': {
      if (!song) return { model, effects: [] };
      const moved = moveSong(set.run, song.id, action === 'order-later' ? 1 : -1);
      const done = ranOn(model, set, moved, at);
      const now = done.model.set as SetRun;
      const chosen = Math.max(
        0,
        ordered(now).findIndex(({ id }) => id === song.id),
      );
      return joined({ ...done, model: { ...done.model, set: { ...now, chosen } } }, kept);
    }
    case 'order-out':
      return song ? joined(ranOn(model, set, leaveOut(set.run, song.id), at), kept) : { model, effects: [] };
    case 'request':
      return { model, effects: [{ kind: 'list-requests' }] };
    default:
      return { model, effects: [] };
  }
}

/** What has become of the order is kept, from now on. */
function kept(model: Model): Updated {
  if (!model.set) return { model, effects: [] };
  const set: SetRun = { ...model.set, keeps: true };
  return { model: { ...model, set }, effects: [keepRun(set)] };
}

/** The songs of a run in which everything that was typed is found. */
export function ordered({ run, query }: SetRun): readonly StandSong[] {
  return finds(run.songs, query, ({ title }) => title);
}

/** A request was found and given a key: it comes next. */
export function takeRequest(model: Model, set: SetRun, song: StandSong, at: number): Updated {
  const done = ranOn(
    { ...model, panel: null, entry: null },
    { ...set, asked: null, requests: null },
    addSong(set.run, song),
    at,
  );
  return joined(
    { ...done, model: { ...done.model, notice: `next: ${song.title} in ${songKey(song)}` } },
    kept,
  );
}

/** What comes after the song at hand, in a few words. */
export function nextText({ run }: SetRun): string {
  const next = nextSong(run);
  return next ? `${next.title} in ${songKey(next)}` : 'that is the last one';
}

/** The key a song is played in; empty for one that cannot be played. */
export function songKey({ start }: StandSong): string {
  return start ? keyName(start.key) : '';
}
