import { type MidiEvent, writeMidi } from 'midi-file';
import { bareText } from '../base/safe-text.js';
import { type Chart, feltBeats, meterText, quartersPerBeat } from '../chart/chart.js';
import { chordName } from '../theory/chord.js';
import { type Key, keyName, keySignature } from '../theory/key.js';
import type { ArrangedPass, Arrangement } from '../time/arrange.js';
import { begin, feed, type Take } from '../time/conductor.js';
import { eventSize, type Voice, voices } from '../time/event.js';
import type { Segment } from '../time/segment.js';
import { heardLevels, type Mix, type Sound, usualSound } from '../time/sound.js';
import { ticksPerQuarter } from '../time/units.js';

/** What a Standard MIDI File is made from: the take that the player would be given, and what of it sounds. */
export interface MidiSong {
  readonly chart: Chart;
  readonly arrangement: Arrangement;
  /** Its passes must be counted: a file has an end. */
  readonly take: Take;
  readonly mix: Mix;
}

/** An event with its tick from the file's start. */
type Timed = { readonly tick: number; readonly event: MidiEvent };

/**
 * A Standard MIDI File of format 1 (MMA RP-001): the very timeline that the player plays, 960 ticks a quarter. The first
 * track has tempo, meter, key, sections as markers, chords and cues as text; each voice that sounds has a track of its own.
 */
export function midiFile({ chart, arrangement, take, mix }: MidiSong): Uint8Array {
  if (take.passes === null) throw new Error('a file has an end: how many passes?');
  const segments = allSegments(take);
  const levels = heardLevels(mix);
  const end = segments.reduce((last, { startTick, length }) => Math.max(last, startTick + length), 0);
  const tracks = voices
    .map((voice, number) => ({ voice, level: levels[number] ?? 0, notes: notesOf(segments, number) }))
    .filter(({ level, notes }) => level > 0 && notes.length > 0)
    .map(({ voice, level, notes }) => voiceTrack(voice, notes, level, take.sound ?? usualSound));
  const conductor = conductorTrack(chart, arrangement, take, segments);
  const header = { format: 1, numTracks: tracks.length + 1, ticksPerBeat: ticksPerQuarter } as const;
  return Uint8Array.from(
    writeMidi({ header, tracks: [conductor, ...tracks].map((events) => inOrder(events, end)) }),
  );
}

/** Everything that the player would be sent. */
function allSegments(take: Take): readonly Segment[] {
  let { conductor, segments } = begin(take, 0, 0);
  const all = [...segments];
  while (conductor.next !== null) {
    const fed = feed(conductor, conductor.next.tick);
    conductor = fed.conductor;
    segments = fed.segments;
    all.push(...segments);
  }
  return all;
}

interface Note {
  readonly tick: number;
  readonly end: number;
  readonly status: number;
  readonly note: number;
  readonly velocity: number;
}

/** The notes of a voice. One that is struck again while it sounds ends there, as the player has it. */
function notesOf(segments: readonly Segment[], voice: number): readonly Note[] {
  const notes: Note[] = [];
  const sounding = new Map<number, number>();
  for (const { startTick, skip, length, events } of segments) {
    for (let at = 0; at < events.length; at += eventSize) {
      const place = events[at] as number;
      if (events[at + 3] !== voice || place >= skip + length) continue;
      const tick = startTick - skip + place;
      const message = events[at + 2] as number;
      const key = message & 0x7f0f;
      const before = sounding.get(key);
      const last = before === undefined ? undefined : notes[before];
      if (before !== undefined && last && last.end > tick) notes[before] = { ...last, end: tick };
      sounding.set(key, notes.length);
      notes.push({
        tick: Math.max(0, tick),
        end: tick + (events[at + 1] as number),
        status: message & 0xff,
        note: (message >> 8) & 0x7f,
        velocity: (message >> 16) & 0x7f,
      });
    }
  }
  return notes;
}

function voiceTrack(voice: Voice, notes: readonly Note[], level: number, sound: Sound): readonly Timed[] {
  const channel = sound.channels[voice];
  const program = sound.programs[voice];
  const head: Timed[] = [{ tick: 0, event: { deltaTime: 0, type: 'trackName', text: voice } }];
  if (program !== null)
    head.push({ tick: 0, event: { deltaTime: 0, type: 'programChange', channel, programNumber: program } });
  const played = notes.flatMap(({ tick, end, note, velocity, status }): Timed[] => {
    const loud = Math.max(1, Math.min(127, Math.round((velocity * level) / 100)));
    const own = { deltaTime: 0, channel: status & 0x0f, noteNumber: note } as const;
    return [
      { tick, event: { ...own, type: 'noteOn', velocity: loud } },
      { tick: end, event: { ...own, type: 'noteOff', velocity: 0 } },
    ];
  });
  return [...head, ...played];
}

/** Tempo, meter, key, sections, chords and cues. */
function conductorTrack(
  chart: Chart,
  arrangement: Arrangement,
  take: Take,
  segments: readonly Segment[],
): readonly Timed[] {
  const events: Timed[] = [{ tick: 0, event: { deltaTime: 0, type: 'trackName', text: utf8(chart.title) } }];
  for (const { startTick, skip, tempoMap } of segments)
    for (let at = 0; at < tempoMap.length; at += 2) {
      const tick = Math.max(startTick, startTick - skip + (tempoMap[at] as number));
      const microseconds = Math.round((tempoMap[at + 1] as number) * ticksPerQuarter * 1000);
      events.push({ tick, event: { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: microseconds } });
    }
  let tick = segments.filter(({ song }) => song === null).reduce((sum, { length }) => sum + length, 0);
  let meter = '';
  let key = '';
  for (let pass = 1; pass <= (take.passes ?? 1); pass += 1) {
    const view: ArrangedPass = (pass === take.passes ? arrangement.final : null) ?? arrangement;
    view.bars.forEach((bar, index) => {
      const placed = view.score.bars[index];
      if (!placed) return;
      const start = tick + placed.start;
      const before = view.bars[index - 1];
      // What holds from the first bar on holds for the count before it too.
      const from = pass === 1 && index === 0 ? 0 : start;
      if (meterText(bar.meter) !== meter) events.push({ tick: from, event: meterEvent(bar) });
      if (keyName(bar.key) !== key) events.push({ tick: from, event: keyEvent(bar.key) });
      meter = meterText(bar.meter);
      key = keyName(bar.key);
      if (!before || before.entry !== bar.entry || before.round !== bar.round) {
        const who = bar.who === null ? '' : ` (${bar.who})`;
        events.push({
          tick: start,
          event: { deltaTime: 0, type: 'marker', text: utf8(`${bar.section}${who}`) },
        });
      }
      for (const cue of bar.cues)
        events.push({ tick: start, event: { deltaTime: 0, type: 'cuePoint', text: utf8(cue) } });
      for (const cell of bar.cells) {
        const at = start + Math.round((cell.at * placed.length) / bar.beats);
        const text = cell.chord ? chordName(cell.chord) : 'N.C.';
        events.push({ tick: at, event: { deltaTime: 0, type: 'text', text } });
      }
    });
    tick += view.score.length;
  }
  return events;
}

/** Upper figure, lower figure, clocks a click (24 a quarter), and that a quarter has eight thirty-seconds. */
function meterEvent({ meter }: ArrangedPass['bars'][number]): MidiEvent {
  const felt = quartersPerBeat(meter);
  return {
    deltaTime: 0,
    type: 'timeSignature',
    numerator: meter.beats,
    denominator: meter.unit,
    metronome: feltBeats(meter) > 0 ? Math.round(24 * felt) : 24,
    thirtyseconds: 8,
  };
}

function keyEvent(key: Key): MidiEvent {
  return { deltaTime: 0, type: 'keySignature', key: keySignature(key), scale: key.mode === 'minor' ? 1 : 0 };
}

/** A text event's text: without control characters, which it cannot escape. The library writes characters as bytes; ours go out as UTF-8. */
function utf8(text: string): string {
  return Array.from(new TextEncoder().encode(bareText(text)), (byte) => String.fromCharCode(byte)).join('');
}

/** Within an instant note-offs go first, then what is told, then note-ons. */
function rank({ type }: MidiEvent): number {
  return type === 'noteOff' ? 0 : type === 'noteOn' ? 2 : 1;
}

function inOrder(events: readonly Timed[], end: number): MidiEvent[] {
  const sorted = events
    .map((timed, index) => ({ ...timed, index }))
    .sort(
      (one, other) => one.tick - other.tick || rank(one.event) - rank(other.event) || one.index - other.index,
    );
  let last = 0;
  const written = sorted.map(({ tick, event }): MidiEvent => {
    const deltaTime = tick - last;
    last = tick;
    return { ...event, deltaTime };
  });
  return [...written, { deltaTime: Math.max(0, end - last), type: 'endOfTrack' }];
}
