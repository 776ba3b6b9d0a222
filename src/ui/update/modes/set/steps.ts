import { quarterTempo } from '../../../../chart/chart.js';
import { passView } from '../../../../playback/pass-view.js';
import { type Command, pause, withPerformance } from '../../../../playback/session.js';
import { holdCard, type Ran, songOf } from '../../../../setlist/run.js';
import { changeNames } from '../../../../shed/change-id.js';
import { programMessages } from '../../../../time/sound.js';
import type { Effect, KeptSong } from '../../../state/messages.js';
import type { Model } from '../../../state/model.js';
import type { PassRecord, SetMode, StandSong } from '../../../state/modes.js';
import { songKey } from '../../../state/select.js';
import { passRecord } from '../../stand/pass-record.js';
import { newStand, putOn } from '../../stand/put-on.js';
import { inTurn, played, type Step, step } from '../../step.js';
import { songLeft } from './places.js';

/** A song that was not paused yet. */
export const notPaused: SetMode['paused'] = { sum: 0, since: null };

/** Does what a step of the run asks for: shows a card, plays, stops; and keeps where the run is. */
export function ranOn(model: Model, mode: SetMode, { run, asks }: Ran<StandSong>, at: number): Step {
  const isLeft = mode.run.phase === 'song' && run.phase !== 'song';
  const left = isLeft ? leftSong(model, mode, at) : [];
  const changed = run.phase !== mode.run.phase || run.at !== mode.run.at || asks.length > 0;
  const next: SetMode = {
    ...mode,
    run,
    keeps: mode.keeps || mode.run.phase === 'song' || run.phase === 'song',
    since: changed ? at : mode.since,
    paused: changed ? notPaused : mode.paused,
    heard: isLeft ? songLeft(model, mode) : mode.heard,
  };
  let done = step({ ...model, mode: next, at }, ...left);
  for (const ask of asks) {
    if (ask === 'stop' && !asks.includes('card')) done = inTurn(done, stop);
    if (ask === 'card') done = inTurn(done, (now) => showCard(now, next));
    if (ask === 'play') done = inTurn(done, playSong);
  }
  if (changed && next.keeps) done = inTurn(done, (now) => step(now, keptRun(next)));
  if (run.phase === 'over' || run.phase === 'break') done = inTurn(done, stop);
  return done;
}

/** A player who opens a list on a card has a hand free: the gap waits meanwhile, and after it. */
export function handsFree(mode: SetMode): SetMode {
  return { ...mode, run: holdCard(mode.run).run };
}

/** Stops the music, and the pulses that tell other gear the tempo between songs. */
export function stop(model: Model): Step {
  const { session, commands, events } = pause(model.session);
  const idle: Command = { kind: 'tell', message: { kind: 'idle', msPerPulse: null } };
  return played(model, { session, commands: [...commands, idle], events });
}

/** The song comes onto the stand after its card: the hand is planned, and other gear told what it needs. */
function showCard(model: Model, mode: SetMode): Step {
  const song = songOf(mode.run);
  if (!song?.chart || !song.start) return step(model);
  // In the middle of the order or of a request nothing is taken away; the card waits until that is done.
  const { overlay } = model;
  const busy = overlay?.kind === 'order' || overlay?.kind === 'requests' || overlay?.kind === 'line';
  const carded: SetMode = { ...(busy ? handsFree(mode) : mode), stand: newStand(song.start) };
  const shown = putOn(model, carded, song.chart, song.start);
  const { bpm } = song.start;
  const msPerPulse = 60_000 / quarterTempo({ ...song.chart.tempo, bpm }) / 24;
  return {
    ...shown,
    model: busy ? { ...shown.model, overlay } : shown.model,
    effects: [
      ...shown.effects,
      ...cardMessages(carded),
      { kind: 'tell', message: { kind: 'idle', msPerPulse } },
    ],
  };
}

/** Programs that other gear is sent while the card is shown, so that it is ready before the count. */
export function cardMessages({ run }: SetMode): readonly Effect[] {
  const song = songOf(run);
  if (run.phase !== 'card' || !song?.start) return [];
  const messages = [...programMessages(song.start.sound), ...song.messages];
  return [{ kind: 'tell', message: { kind: 'send', messages } }];
}

/** The song begins: at once, or as soon as its hand is planned and the tuning has stopped. */
function playSong(model: Model): Step {
  const { performance } = model.session;
  if (!performance) return step(model);
  const eager: Model = {
    ...model,
    overlay: null,
    notice: '',
    session: withPerformance(model.session, { eager: true }),
  };
  return performance.tuning ? played(eager, pause(eager.session)) : step(eager);
}

/** What was played of the song that is left, for the diary. */
export function leftSong({ session: { performance } }: Model, mode: SetMode, at: number): readonly Effect[] {
  if (mode.run.phase !== 'song' || !performance?.begun) return [];
  const { sum, since } = mode.paused;
  const rested = sum + (since === null ? 0 : at - since);
  const changes = changeNames(passView(performance)?.plan.changes ?? []);
  const ms = Math.max(0, at - mode.run.began - rested);
  const file = songOf(mode.run)?.file ?? '';
  const record: PassRecord = { ...passRecord(performance.setup, file, changes, ms), set: mode.run.title };
  return [{ kind: 'record', record, result: mode.stand.mark ?? 'unmarked' }];
}

/** What is kept of a run: the songs as they stand, and which one it is at. */
export function keptRun({ file, run }: SetMode): Effect {
  if (run.phase === 'over') return { kind: 'keep-run', file, run: null };
  const songs = run.songs.map(
    (song): KeptSong => ({ file: song.file, entry: song.entry, key: songKey(song) }),
  );
  return { kind: 'keep-run', file, run: { songs, at: run.at } };
}
