import type { Ear, EarMessage } from '../../src/ear/client.js';
import { Hearing } from '../../src/ear/hearing.js';
import type { Mark } from '../../src/listen/marks.js';
import type { Verdict } from '../../src/listen/verdict.js';
import type { OutSpec } from '../../src/player/messages.js';
import { tableOf } from '../../src/player/synth/tables.js';
import { usualMix } from '../../src/time/sound.js';
import { type Calibrated, Listener } from '../../src/ui/listener.js';
import type { Message } from '../../src/ui/state/messages.js';
import { HeardStage } from '../listen/live/heard-stage.js';
import { mixIn, normals, smallRoom, through, usualPeak } from '../listen/noisy.js';
import type { Stroke } from '../listen/rendered.js';
import { plucked } from '../listen/strings.js';

const rate = 44_100;
const pieceMs = 10;
/** What is played is heard so much later, and pieces are so long on their way from the card, ms. */
const late = 80;
const way = 12;
/** Between a sound that is due and when it is heard lies so much, ms. */
export const roundTrip = late + way;

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
    const place = Math.round((at * rate) / 1000);
    const before = known.get(key);
    if (before) {
      mixIn(heard, before, place, level);
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
    mixIn(heard, wet, place, level);
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
  readonly sentences: readonly string[];
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
    announce: (sounds, from) => console.log(host.now().toFixed(0), "announce", from.toFixed(0), sounds.map((o) => `${o.ms.toFixed(1)}:${o.note}${o.alone ? "a" : ""}`).join(" ")) as never ?? void host.setTimer(() => hearing.announce(sounds, from), 1),
    setDelay: (ms) => console.log("delay", ms) as never ?? hearing.setDelay(ms),
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
  const silence = new Float32Array(size);
  const listens = (piece: Float32Array) => {
    stage.wait(pieceMs);
    hearing.sound(piece, host.now());
  };
  for (let ms = 0; ms < 500; ms += pieceMs) listens(silence);
  stage.press('play');
  // The first click is heard so long after it was sent.
  const lead = () => (stage.output.ons[0]?.time ?? Number.POSITIVE_INFINITY) + late + way;
  const noise = samples.slice(samples.length - size);
  for (let at = 0; at < samples.length; ) {
    const begins = lead();
    const until = host.now() + pieceMs;
    // Whole pieces go on being sent; the first one with sound in it begins between two samples of the silence.
    const from = Math.round(((until - begins) * rate) / 1000) - size;
    if (!Number.isFinite(from) || from <= -size) listens(noise);
    else {
      const piece = noise.slice();
      for (let place = 0; place < size; place += 1) piece[place] = samples[from + place] ?? piece[place] ?? 0;
      listens(piece);
      at = from + size;
    }
  }
  console.log(stage.output.ons.slice(0, 30).map((o) => `${o.time.toFixed(1)}:${o.note}`).join(" "));
  const told = messages.flatMap((one) => (one.kind === 'pass-told' ? [one.told] : []));
  return {
    marks: told.flatMap((one) => (one.kind === 'mark' && one.pass === 0 ? [{ bar: one.bar, mark: one.mark }] : [])),
    verdict: told.flatMap((one) => (one.kind === 'pass-heard' ? [one.verdict] : []))[0] ?? null,
    sentences: messages.flatMap((one) =>
      one.kind === 'ear' && one.message.kind === 'trouble' ? [one.message.sentence] : [],
    ),
  };
}
