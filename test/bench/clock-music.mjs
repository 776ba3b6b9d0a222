// The music of the clock's benchmark: a chart with chords, and when each of its messages is due.
import { readChart } from '../../dist/chart/read.js';
import { mandolin } from '../../dist/hand/instrument.js';
import { arrange } from '../../dist/time/arrange.js';
import { begin, feed } from '../../dist/time/conductor.js';
import { eventSize } from '../../dist/time/event.js';
import { millisecondsPerTick, ticksPerQuarter } from '../../dist/time/units.js';
import { kindOf } from './clock-midi.mjs';

/** MIDI clock: 24 pulses a quarter. */
const ticksPerPulse = ticksPerQuarter / 24;
const ticksPerBar = 4 * ticksPerQuarter;
const countInBars = 1;
const line = '    1 (1 4) 5 6-\n';
const tuneLine = '    A2 c2 e2 c2 | d4- d2 cB | AGEG A4- | A2 c2 B2 A2 |\n';
const lineBars = 4;
/** A longer piece of music is a chart of this many bars played over and over. */
const longestBars = 32;

/** Bars and passes that fill minutes. */
export function lengthOf(minutes, bpm) {
  const wanted = (minutes * bpm) / 4;
  const bars = Math.max(lineBars, Math.min(longestBars, Math.ceil(wanted / lineBars) * lineBars));
  return { bars, passes: Math.ceil(wanted / bars) };
}

/**
 * A chart of `bars` bars (a multiple of four) with chords that change within the bar too, played `passes` times after
 * a bar of count-in, with a tune in quarters and eighths where one is wanted. `events` are the messages `{tick, bytes, kind}` that are due, by tick: each note-on, each note-off
 * and, when it is sent, each pulse of MIDI clock.
 */
export function music({ bars, bpm, passes, clock, tune = false }) {
  const text = `title: Clock Bench\nkey: A\ntempo: ${bpm}\nmeter: 4/4\nsections:\n  V: |\n${line.repeat(bars / lineBars)}${
    tune ? `tune:\n  V: |\n${tuneLine.repeat(bars / lineBars)}` : ''
  }`;
  const reading = readChart(Buffer.from(text));
  if (!reading.ok) throw new Error('the chart does not read');
  const ticks = (countInBars + bars * passes) * ticksPerBar;
  const notes = noteEvents(notesOf(reading.value, passes), ticks);
  const events = [...notes, ...(clock ? pulseEvents(ticks) : [])].sort((one, other) => one.tick - other.tick);
  const msPerTick = millisecondsPerTick(bpm);
  return { text, bpm, passes, msPerTick, ms: ticks * msPerTick, events };
}

/** All notes of a chart as the player is sent them, every voice sounding, ticks from the beginning of the count-in. */
function notesOf(chart, passes) {
  const { score } = arrange(chart, { key: chart.key, share: 1, instrument: mandolin });
  let { conductor, segments } = begin({ score, passes, share: 1, countIn: countInBars }, 0, 0);
  const notes = segments.flatMap(notesIn);
  while (conductor.next !== null) {
    ({ conductor, segments } = feed(conductor, conductor.next.tick));
    notes.push(...segments.flatMap(notesIn));
  }
  return notes;
}

function notesIn({ events, startTick, skip }) {
  return Array.from({ length: events.length / eventSize }, (_, index) => {
    const [tick, length, message] = events.subarray(index * eventSize);
    const bytes = [message & 0xff, (message >> 8) & 0x7f, (message >> 16) & 0x7f];
    return { at: startTick - skip + tick, length, channel: bytes[0] & 0x0f, note: bytes[1], bytes };
  });
}

/** Note-ons and note-offs. A note that is struck again is ended first; what the end of the music ends is no deadline. */
function noteEvents(notes, ticks) {
  const events = [];
  const sounding = new Map();
  const endBy = (key, tick) => {
    const note = sounding.get(key);
    if (!note) return;
    const at = Math.min(note.at + note.length, tick);
    if (at < ticks) events.push(event(at, [0x80 | note.channel, note.note, 0]));
    sounding.delete(key);
  };
  for (const note of notes.sort((one, other) => one.at - other.at)) {
    const key = `${note.channel} ${note.note}`;
    endBy(key, note.at);
    events.push(event(note.at, note.bytes));
    sounding.set(key, note);
  }
  for (const key of [...sounding.keys()]) endBy(key, Number.POSITIVE_INFINITY);
  return events;
}

/** Pulses go from the beginning of the count-in to the end. */
function pulseEvents(ticks) {
  return Array.from({ length: ticks / ticksPerPulse }, (_, index) => event(index * ticksPerPulse, [0xf8]));
}

function event(tick, bytes) {
  return { tick, bytes, kind: kindOf(bytes[0], bytes.slice(1)) };
}

/** The music as other senders are given it: for each deadline its time in ms and all its bytes. */
export function scheduleOf({ events, msPerTick }) {
  const byTick = new Map();
  for (const { tick, bytes } of events) byTick.set(tick, [...(byTick.get(tick) ?? []), ...bytes]);
  return [...byTick].map(([tick, bytes]) => ({
    ms: tick * msPerTick,
    hex: Buffer.from(bytes).toString('hex'),
  }));
}
