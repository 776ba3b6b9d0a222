import { bareText } from '../base/safe-text.js';
import { type Chart, feltBeats, meterText, quartersPerBeat } from '../chart/chart.js';
import { wayLabel } from '../chart/label.js';
import { samePart } from '../chart/part.js';
import { chordName } from '../theory/chord.js';
import { type Key, keyName, keySignature } from '../theory/key.js';
import type { ArrangedPass, Arrangement } from '../time/arrange.js';
import { begin, feed, type Take } from '../time/conductor.js';
import { eventSize, programAt, tiedAt, type Voice, voiceAt, voices } from '../time/event.js';
import type { Segment } from '../time/segment.js';
import { heardLevels, type Mix, type Sound, usualSound } from '../time/sound.js';
import { tickOfBeat } from '../time/stretch.js';
import { ticksPerQuarter } from '../time/units.js';
import { meta, midiFileOf, TrackBytes } from './midi-bytes.js';

/** What a Standard MIDI File is made from: the take that the player would be given, and what of it sounds. */
export interface MidiSong {
  readonly chart: Chart;
  readonly arrangement: Arrangement;
  /** Its passes must be counted: a file has an end. */
  readonly take: Take;
  readonly mix: Mix;
}

/** The most notes that a file is written with, some sixty megabytes of them. */
export const mostMidiNotes = 4_000_000;

/** How many notes a pass has, the click counted once a beat. Of the tune all that may be struck, whatever gives way in it. */
export function notesInPass({ score }: Pick<Arrangement, 'score'>): number {
  const played = score.notes.reduce((sum, notes) => sum + notes.length, 0);
  const tune = score.lead?.reduce((sum, { notes, pickup }) => sum + notes.length + pickup.length, 0) ?? 0;
  return score.bars.reduce((sum, { beats }) => sum + beats.length, played + tune);
}

/** A meta event of the first track: when, one of `meta`, and its bytes. */
interface Told {
  readonly tick: number;
  readonly kind: number;
  readonly data: ArrayLike<number>;
}

/**
 * A Standard MIDI File of format 1 (MMA RP-001): the very timeline that the player plays, 960 ticks a quarter. The first
 * track has tempo, meter, key, sections as markers, chords and cues as text; each voice that sounds has a track of its own.
 */
export function midiFile({ chart, arrangement, take, mix }: MidiSong): Uint8Array {
  if (take.passes === null) throw new Error('a file has an end: how many passes?');
  const segments = allSegments(take);
  const levels = heardLevels(mix);
  const end = segments.reduce((last, { startTick, length }) => Math.max(last, startTick + length), 0);
  const heard = voices.map((_, number) => (levels[number] ?? 0) > 0);
  // A pick-up without a count-in before it: everything else comes later by its length.
  const lead = voices.indexOf('lead');
  const ahead = heard[lead] ? Math.max(0, -(notesOf(segments, lead)[0]?.begins ?? 0)) : 0;
  const length = end + ahead;
  // Voice by voice, so that of a long file only one voice's notes are held at a time.
  const tracks = voices.flatMap((voice, number) => {
    const notes = heard[number] ? later(notesOf(segments, number), ahead, number === lead) : [];
    const level = levels[number] ?? 0;
    return notes.length > 0 ? [voiceTrack(voice, notes, level, take.sound ?? usualSound, length)] : [];
  });
  const events = conductorEvents(chart, arrangement, take, segments).map((event) =>
    event.tick === 0 ? event : { ...event, tick: event.tick + ahead },
  );
  const conductor = conductorTrack(events, length);
  return midiFileOf([conductor, ...tracks], ticksPerQuarter);
}

/** Ticks that are counted in. */
function countLength(segments: readonly Segment[]): number {
  return segments.filter(({ song }) => song === null).reduce((sum, { length }) => sum + length, 0);
}

/** Notes moved later by a number of ticks; `pushed`: those that begin before the start do so in the time that this makes. */
function later(notes: readonly Note[], by: number, pushed: boolean): readonly Note[] {
  if (by === 0) return notes;
  return notes.map((note) =>
    pushed
      ? { ...note, tick: note.begins + by, end: note.begins + note.length + by }
      : { ...note, tick: note.tick + by, end: note.end + by },
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
  /** Where it begins and how long it is as it is sent. */
  readonly begins: number;
  length: number;
  readonly tick: number;
  end: number;
  /** The program it wants, 0–127; −1 for the voice's. */
  readonly program: number;
  /** The message's status and its two bytes. */
  readonly status: number;
  readonly note: number;
  readonly velocity: number;
}

/** The notes of a voice. One that is struck again while it sounds ends there, as the player has it. */
function notesOf(segments: readonly Segment[], voice: number): readonly Note[] {
  const notes: Note[] = [];
  const sounding = new Map<number, Note>();
  for (const { startTick, skip, length, events } of segments) {
    for (let at = 0; at < events.length; at += eventSize) {
      const place = events[at] as number;
      if (voiceAt(events, at) !== voice || place >= skip + length) continue;
      const tick = startTick - skip + place;
      const message = events[at + 2] as number;
      const key = message & 0x7f0f;
      const held = events[at + 1] as number;
      const last = sounding.get(key);
      if (last && last.end > tick) {
        last.end = tiedAt(events, at) ? tick + held : tick;
        last.length = last.end - last.begins;
        if (tiedAt(events, at)) continue;
      }
      const note: Note = {
        begins: tick,
        length: held,
        tick: Math.max(0, tick),
        // A push before the file's start, where nothing counts in, is struck at its start.
        end: tick + held > 0 ? tick + held : held,
        program: programAt(events, at),
        status: message & 0xff,
        note: (message >> 8) & 0x7f,
        velocity: (message >> 16) & 0x7f,
      };
      sounding.set(key, note);
      notes.push(note);
    }
  }
  return notes;
}

/** A voice's track. Within an instant note-offs go first, then what is reported, then note-ons. */
function voiceTrack(
  voice: Voice,
  notes: readonly Note[],
  level: number,
  sound: Sound,
  end: number,
): Uint8Array {
  const track = new TrackBytes();
  let program = notes.find((note) => note.program >= 0)?.program ?? sound.programs[voice];
  track.tell(0, meta.trackName, utf8(voice));
  if (program !== null) track.send(0, 0xc0 | sound.channels[voice], program);
  const begun = [...notes].sort((one, other) => one.tick - other.tick);
  const ended = [...notes].sort((one, other) => one.end - other.end);
  let off = 0;
  const offsUntil = (tick: number): void => {
    for (let note = ended[off]; note && note.end <= tick; note = ended[off]) {
      track.send(note.end, 0x80 | (note.status & 0x0f), note.note, 0);
      off += 1;
    }
  };
  for (const { tick, status, note, velocity, program: wanted } of begun) {
    offsUntil(tick);
    if (wanted >= 0 && wanted !== program) {
      program = wanted;
      track.send(tick, 0xc0 | (status & 0x0f), program);
    }
    track.send(
      tick,
      0x90 | (status & 0x0f),
      note,
      Math.max(1, Math.min(127, Math.round((velocity * level) / 100))),
    );
  }
  offsUntil(Number.POSITIVE_INFINITY);
  return track.end(end);
}

function conductorTrack(events: readonly Told[], end: number): Uint8Array {
  const track = new TrackBytes();
  for (const { tick, kind, data } of [...events].sort((one, other) => one.tick - other.tick))
    track.tell(tick, kind, data);
  return track.end(end);
}

/** Tempo, meter, key, sections, chords and cues. */
function conductorEvents(
  chart: Chart,
  arrangement: Arrangement,
  take: Take,
  segments: readonly Segment[],
): readonly Told[] {
  const events: Told[] = [{ tick: 0, kind: meta.trackName, data: utf8(chart.title) }];
  for (const { startTick, skip, tempoMap } of segments)
    for (let at = 0; at < tempoMap.length; at += 2) {
      const tick = Math.max(startTick, startTick - skip + (tempoMap[at] as number));
      const microseconds = Math.round((tempoMap[at + 1] as number) * ticksPerQuarter * 1000);
      // Three bytes: slower than three and a half quarters a minute cannot be said.
      events.push({ tick, kind: meta.tempo, data: threeBytes(Math.min(0xffffff, microseconds)) });
    }
  let tick = countLength(segments);
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
      if (meterText(bar.meter) !== meter)
        events.push({ tick: from, kind: meta.meter, data: meterBytes(bar) });
      if (keyName(bar.key) !== key) events.push({ tick: from, kind: meta.key, data: keyBytes(bar.key) });
      meter = meterText(bar.meter);
      key = keyName(bar.key);
      if (!before || !samePart(before, bar)) {
        const how = [bar.way ? wayLabel(bar.way) : null, bar.who, bar.level]
          .filter((one) => one !== null)
          .join(', ');
        const text = how === '' ? bar.section : `${bar.section} (${how})`;
        events.push({ tick: start, kind: meta.marker, data: utf8(text) });
      }
      for (const cue of bar.cues) events.push({ tick: start, kind: meta.cuePoint, data: utf8(cue) });
      for (const cell of bar.cells) {
        const at = start + tickOfBeat(bar, cell.at);
        const text = cell.chord ? chordName(cell.chord) : 'N.C.';
        events.push({ tick: at, kind: meta.text, data: utf8(text) });
      }
    });
    tick += view.score.length;
  }
  return events;
}

/** Upper figure, the lower one as a power of two, clocks a click (24 a quarter), and that a quarter has eight thirty-seconds. */
function meterBytes({ meter }: ArrangedPass['bars'][number]): readonly number[] {
  const clocks = feltBeats(meter) > 0 ? Math.round(24 * quartersPerBeat(meter)) : 24;
  return [meter.beats, Math.log2(meter.unit), clocks, 8];
}

/** Sharps, or flats below 0 in one byte; and whether it is minor. */
function keyBytes(key: Key): readonly number[] {
  return [keySignature(key) & 0xff, key.mode === 'minor' ? 1 : 0];
}

function threeBytes(value: number): readonly number[] {
  return [(value >> 16) & 0xff, (value >> 8) & 0xff, value & 0xff];
}

/** A text event's text: without control characters, which it cannot escape. */
function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(bareText(text));
}
