import type { Ear, EarMessage } from '../../src/ear/client.js';
import { Hearing } from '../../src/ear/hearing.js';
import type { Mark } from '../../src/listen/marks.js';
import type { Verdict } from '../../src/listen/verdict.js';
import type { OutSpec } from '../../src/player/messages.js';
import { tableOf } from '../../src/player/synth/tables.js';
import { usualMix } from '../../src/time/sound.js';
import { type Calibrated, Listener } from '../../src/ui/listener.js';
import type { Message } from '../../src/ui/state/messages.js';
import { later } from '../ear/own-scene.js';
import { HeardStage } from '../listen/live/heard-stage.js';
import { mixIn, normals, smallRoom, through, usualPeak } from '../listen/noisy.js';
import type { Stroke } from '../listen/rendered.js';
import { plucked } from '../listen/strings.js';

const rate = 44_100;
const pieceMs = 10;
/** From when a sound is due until it is heard, ms. */
export const roundTrip = 92;

/** A note as it was sent to the output, ms from the first click, until its end. */
interface Sounded {
  readonly at: number;
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  readonly length: number;
}

/** What a chart sends in so many ms of its playing: of the player's own part too, or of click and bass alone. */
function sentOf(chart: string, own: boolean, ms: number): Sounded[] {
  const stage = new HeardStage(chart, own ? {} : { mix: usualMix });
  stage.wait(50);
  stage.press('play');
  stage.wait(ms);
  const { ons, offs } = stage.output;
  const first = ons[0]?.time ?? 0;
  return ons.map(({ time, status, note, velocity }) => {
    const end = offs.find(
      (off) => off.time > time && off.note === note && (off.status & 15) === (status & 15),
    );
    return {
      at: time - first,
      channel: status & 15,
      note,
      velocity,
      length: (end?.time ?? time + 500) - time,
    };
  });
}

/** Low notes and chops as strokes of a hand that is a little behind the click, and uneven. */
function strokesOf(sent: readonly Sounded[], behind: number, rests: (at: number) => boolean): Stroke[] {
  const normal = normals(5);
  const strokes: (Stroke & { due: number; notes: number[] })[] = [];
  for (const { at, channel, note, velocity, length } of sent) {
    if (channel > 1 || rests(at)) continue;
    const before = strokes.at(-1);
    if (before && at - before.due < 25) before.notes.push(note);
    else
      strokes.push({
        due: at,
        at: at + behind + 6 * Math.max(-2, Math.min(2, normal())),
        notes: [note],
        velocity,
        length,
      });
  }
  return strokes;
}

/** Click and bass as the built-in sound makes them, by a loudspeaker and a small room, as loud as `peak` at the loudest click. */
function ownSound(sent: readonly Sounded[], seconds: number, peak: number): Float32Array {
  const room = smallRoom(rate, 23);
  const heard = new Float32Array(Math.round(seconds * rate));
  const known = new Map<string, Float32Array>();
  for (const { at, channel, note, velocity, length } of sent) {
    const isClick = channel === 9;
    if (!isClick && channel !== 2) continue;
    const level = ((isClick ? 1 : 127 / 180) * velocity) / 127;
    const table = tableOf({ voice: isClick ? 0 : 1, note, velocity, length });
    const key = `${table.key} ${isClick ? '' : Math.round(length)}`;
    const exact = (at * rate) / 1000;
    const place = Math.floor(exact);
    const before = known.get(key);
    if (before) {
      mixIn(heard, later(before, exact - place), place, level);
      continue;
    }
    const samples = table.samples(rate);
    const [end, fade] = [Math.round((length * rate) / 1000), Math.round(0.004 * rate)];
    const damped = isClick
      ? samples
      : samples
          .slice(0, end + fade)
          .map((value, place) => value * Math.min(1, Math.max(0, (end + fade - place) / fade)));
    const wet = through(damped, room);
    known.set(key, wet);
    mixIn(heard, later(wet, exact - place), place, level);
  }
  const loudest = heard.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return heard.map((value) => (value * peak) / loudest);
}

/** What is played, and how it is heard. */
export interface OwnScene {
  readonly chart: string;
  readonly seconds: number;
  /** Whether click and bass come from the loudspeaker by the built-in sound. */
  readonly own: boolean;
  readonly calibrated: Calibrated | null;
  /** Whether the ear is told what is about to sound. */
  readonly announced?: boolean;
  /** How far behind the click the hand is, ms. */
  readonly behind?: number;
  /** Where the hand rests, ms from the first click of the count-in. */
  readonly rests?: (at: number) => boolean;
}

/** What became known of it. */
export interface OwnHeard {
  /** Of the first pass. */
  readonly marks: readonly { readonly bar: number; readonly mark: Mark }[];
  readonly verdict: Verdict | null;
}

/**
 * The program's own session and player in virtual time, the listener and what the ear's process runs on: what the microphone hears is
 * made of what was sent to the output, never of what was announced.
 */
export function heardBeside({
  chart,
  seconds,
  own,
  calibrated,
  announced = true,
  behind = 7,
  rests = () => false,
}: OwnScene): OwnHeard {
  const hand = plucked(strokesOf(sentOf(chart, true, 1000 * seconds), behind, rests), rate);
  const normal = normals(41);
  const samples = Float32Array.from({ length: Math.round((seconds + 1) * rate) }, () => 5e-4 * normal());
  mixIn(samples, hand, 0, 1);
  if (own)
    mixIn(samples, ownSound(sentOf(chart, false, 1000 * seconds), seconds, usualPeak(hand, rate)), 0, 1);

  const stage = new HeardStage(chart, { mix: usualMix });
  const { host } = stage;
  const out: OutSpec = { kind: own ? 'sound' : 'none' };
  stage.runtime.dispatch({
    kind: 'player',
    at: host.now(),
    message: { kind: 'opened', out, label: 'here', lead: 0, refused: [] },
  });
  const messages: Message[] = [];
  let hears: (message: EarMessage) => void = () => {};
  const hearing = new Hearing(rate, (message) => host.setTimer(() => hears(message as EarMessage), 1));
  const ear: Ear = {
    open: () => {},
    close: () => {},
    list: () => {},
    tune: () => {},
    announce: (sounds, from) => void (announced && host.setTimer(() => hearing.announce(sounds, from), 1)),
    setDelay: (ms) => hearing.setDelay(ms),
    quit: () => Promise.resolve(),
  };
  const listener = new Listener(
    {
      from: { kind: 'microphone', name: null },
      keep: null,
      level: 'steady',
      calibrationOf: () => calibrated,
    },
    {
      open: ({ onMessage }) => {
        hears = onMessage;
        return ear;
      },
      session: () => stage.session,
      dispatch: (message) => messages.push(message),
      now: () => host.now(),
      setTimer: (act, ms) => host.setTimer(act, ms),
      clearTimer: (timer) => host.clearTimer(timer),
    },
  );
  stage.runtime.subscribe(() => listener.look());
  listener.listen(true);
  hears({ kind: 'opened', name: 'here', rate, by: 'test' });

  const size = (pieceMs * rate) / 1000;
  const noise = samples.slice(samples.length - size);
  let due = host.now();
  /** A piece arrives: the card goes on evenly, whatever the player waits for. */
  const listens = (piece: (until: number) => Float32Array) => {
    due += pieceMs;
    if (due > host.now()) stage.wait(due - host.now());
    hearing.sound(piece(due), due);
  };
  for (let ms = 0; ms < 500; ms += pieceMs) listens(() => noise);
  stage.press('play');
  for (let heard = 0; heard < samples.length; )
    listens((until) => {
      // The first click is heard so long after it was sent.
      const begins = (stage.output.ons[0]?.time ?? Number.POSITIVE_INFINITY) + roundTrip;
      heard = Math.max(0, Math.round(((until - begins) * rate) / 1000));
      return noise.map((value, place) => samples[heard - size + place] ?? value);
    });
  const told = messages.flatMap((one) => (one.kind === 'pass-told' ? [one.told] : []));
  return {
    marks: told.flatMap((one) =>
      one.kind === 'mark' && one.pass === 1 ? [{ bar: one.bar, mark: one.mark }] : [],
    ),
    verdict: told.flatMap((one) => (one.kind === 'pass-heard' ? [one.verdict] : []))[0] ?? null,
  };
}
