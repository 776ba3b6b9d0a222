import { SaxesParser } from 'saxes';
import { good, type Outcome } from '../base/outcome.js';
import { countedQuarters, type Meter, type Place, type Tempo } from '../chart/chart.js';
import { type Chord, parseChord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { type HarmonyDegree, qualityOfKind } from './harmony-kinds.js';
import { keysByChords, type OpenKey } from './key-by-chords.js';
import {
  openRepeats,
  plainBar,
  type Remark,
  type SheetBar,
  type SheetChord,
  type SheetRead,
} from './lead-sheet.js';
import { withMelody } from './melody.js';
import { keyOfSignature, modeNamed } from './modes.js';
import {
  drawnAttributes,
  leftOf,
  leftOfHead,
  melodyOnly,
  signGroups,
  soundKept,
  unitQuarters,
} from './musicxml-left.js';
import { melodyOf, type ScoreNote } from './musicxml-notes.js';
import { SungLines, type Syllable, sungLeftOut } from './sung-words.js';
import { backToldOf, type WaySign, waySignOfWords, withSign } from './way-signs.js';

/** What is wrong with a score: a sentence and its place. */
type ScoreFault = Remark;

/** An element within a measure. */
interface Node {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Node[];
  text: string;
  readonly place: Place;
}

/** Limits that no score of a song comes near. */
const deepest = 64;
const mostNodes = 200_000;
const mostMeasures = 5000;
/** The longest note, quarters: beyond, the number is not a length. */
const mostQuarters = 10_000;
/** The most kinds of left-out things that are reported. */
const mostLeft = 100;

/**
 * Reads the harmony of a score (MusicXML 4.0, score-partwise): of the first part that has any, else of the first; or
 * says why it cannot be read. Entities other than XML's own are refused, and nothing outside the file is looked at.
 */
export function readMusicXml(text: string): Outcome<SheetRead, ScoreFault> {
  const parts: Part[] = [];
  const head = { title: '', movement: '', by: null as string | null };
  const stack: Node[] = [];
  /** What is left out of the head of the score, and where it stands first. */
  const left = new Map<string, Place>();
  const parser = new SaxesParser({ position: true });
  const here = (): Place => ({ line: parser.line, column: parser.column + 1 });
  let failed: ScoreFault | null = null;
  let root = '';
  let nodes = 0;
  parser.on('error', (error) => {
    failed ??= {
      place: here(),
      message: `this is not well-formed XML: ${error.message.replace(/^\d+:\d+:\s*/, '')}`,
    };
  });
  parser.on('doctype', (doctype) => {
    if (/<!ENTITY/i.test(doctype))
      failed ??= { place: here(), message: 'entities defined in the file are not read' };
  });
  parser.on('opentag', ({ name, attributes }) => {
    if (failed) return;
    if (root === '') root = name;
    if (stack.length >= deepest)
      failed = { place: here(), message: `elements are nested more than ${deepest} deep` };
    if (name === 'part' && stack.length === 1) parts.push(new Part());
    nodes += 1;
    if (nodes > mostNodes)
      failed = { place: here(), message: 'one measure has more elements than can be read' };
    const node: Node = {
      name,
      attributes: attributes as Record<string, string>,
      children: [],
      text: '',
      place: here(),
    };
    const above = stack.at(-1);
    // Only what lies within a measure is kept, and only until it ends.
    if (above && stack.some((one) => one.name === 'measure')) above.children.push(node);
    stack.push(node);
  });
  parser.on('text', (chunk) => {
    const node = stack.at(-1);
    if (node && node.text.length < 2000) node.text += chunk;
  });
  parser.on('closetag', ({ name }) => {
    const node = stack.pop();
    if (!node || failed) return;
    if (name === 'measure') {
      parts.at(-1)?.measure(node);
      nodes = 0;
    }
    const what = parts.length === 0 ? leftOfHead(name) : null;
    if (what !== null && node.text.trim() !== '' && !left.has(what)) left.set(what, node.place);
    if (name === 'work-title') head.title = node.text.trim();
    if (name === 'movement-title') head.movement = node.text.trim();
    if (name === 'creator' && node.text.trim() !== '') {
      if (head.by !== null && !left.has('further authors')) left.set('further authors', node.place);
      head.by ??= node.text.trim().slice(0, 200);
    }
  });
  for (let at = 0; at < text.length && !failed; at += 65_536) parser.write(text.slice(at, at + 65_536));
  if (!failed) parser.close();
  if (failed) return { ok: false, fault: failed };
  if (root === 'score-timewise')
    return refused(
      'the score is stored measure by measure (score-timewise); save it part by part (score-partwise)',
    );
  if (root !== 'score-partwise') return refused(`this is not a score but <${root.slice(0, 40)}>`);
  const part = parts.find(({ chords }) => chords > 0) ?? parts[0];
  if (!part) return refused('the score has no part');
  const title = head.title || head.movement || 'untitled';
  if (head.movement !== '' && head.movement !== title)
    left.set('the title of a movement', { line: 1, column: 1 });
  for (const [what, place] of left) part.leave(what, place);
  return good(part.read({ title, by: head.by }, parts.length));
}

/** What is wrong with a score as a whole. */
function refused(message: string): { readonly ok: false; readonly fault: ScoreFault } {
  return { ok: false, fault: { place: { line: 1, column: 1 }, message } };
}

/** A part, measure by measure. */
class Part {
  chords = 0;
  private readonly bars: SheetBar[] = [];
  private readonly remarks: Remark[] = [];
  private readonly left = new Map<string, Place>();
  private first: { key: Key; meter: Meter; tempo: Tempo } | null = null;
  private key: Key = { tonic: 'C', mode: 'major' };
  private meter: Meter | null = null;
  private tempo: Tempo | null = null;
  private divisions = 1;
  private notes = 0;
  /** The words above the measure that is being read. */
  private cues: string[] = [];
  private phrase: string[] = [];
  private syllables: Syllable[] = [];
  private readonly sung = new SungLines();
  private form: readonly string[] | null = null;
  private readonly open: OpenKey[] = [];
  /** How many measures back lies the one that simile signs repeat; `null` where there are none. */
  private same: number | null = null;

  measure(node: Node): void {
    if (this.bars.length >= mostMeasures) {
      this.leave(`measures beyond ${mostMeasures}`, node.place);
      return;
    }
    let bar: SheetBar = { ...plainBar, place: node.place };
    const chords: SheetChord[] = [];
    this.cues = [];
    this.phrase = [];
    this.syllables = [];
    const melody: ScoreNote[] = [];
    let at = 0;
    let longest = 0;
    for (const child of node.children) {
      switch (child.name) {
        case 'attributes':
          bar = this.attributes(child, bar);
          break;
        case 'harmony':
          chords.push(this.chord(child, at));
          break;
        case 'note': {
          const signs = child.children
            .filter(({ name }) => name === 'notations')
            .flatMap((one) => one.children);
          if (signs.some(({ name }) => name === 'fermata'))
            bar = { ...bar, holds: [...(bar.holds ?? []), at] };
          if (signs.some((one) => one.children.some(({ name }) => name === 'caesura')))
            bar = { ...bar, stops: true };
          const length = this.noteLength(child);
          const note = this.scoreNote(child, at, length);
          if (note) melody.push(note);
          at += length;
          break;
        }
        case 'forward':
          at += this.duration(child);
          break;
        case 'backup':
          at -= this.duration(child);
          break;
        case 'direction':
          bar = this.direction(child, bar, at);
          break;
        case 'sound':
          bar = this.sound(child, bar, at);
          break;
        case 'barline':
          bar = this.signsOfLine(child, this.barline(child, bar));
          break;
        case 'print':
          if (child.attributes['new-system'] === 'yes' || child.attributes['new-page'] === 'yes')
            bar = { ...bar, line: true };
          break;
        default:
          this.leave(leftOf('of a measure', child.name), child.place);
      }
      longest = Math.max(longest, at);
    }
    this.first ??= {
      key: this.key,
      meter: this.meter ?? { beats: 4, unit: 4 },
      tempo: this.tempo ?? { bpm: 120, count: 'quarter' },
    };
    const same = chords.length === 0 ? this.repeated() : [];
    bar = { ...bar, chords: chords.length > 0 ? this.inOrder(chords) : same, cues: this.cues };
    if (this.phrase.length > 0) bar = { ...bar, words: this.phrase };
    this.sung.add(this.bars.length, bar.line, this.syllables);
    const { notes, below, voices, inexact } = melodyOf(melody, longest);
    if (below) this.leave('lower notes of those that sound together', node.place);
    if (voices) this.leave('voices other than the first of a staff', node.place);
    if (inexact) this.leave('parts of note lengths too small to be counted', node.place);
    if (longest > 1e-9) this.bars.push({ ...bar, length: longest, notes });
    else if (node.attributes.implicit !== 'yes') {
      // A measure with nothing in it lasts as long as its meter says.
      const { beats, unit } = this.meter ?? { beats: 4, unit: 4 };
      this.bars.push({ ...bar, length: (4 * beats) / unit });
    }
  }

  read(head: { title: string; by: string | null }, parts: number): SheetRead {
    const top: Place = { line: 1, column: 1 };
    if (parts > 1) this.leave(`${parts - 1} other ${parts === 2 ? 'part' : 'parts'}`, top);
    const remarks = [...this.remarks];
    if (this.meter === null)
      remarks.push({ place: top, message: 'there is no time signature; 4/4 is assumed' });
    if (this.tempo === null) remarks.push({ place: top, message: 'there is no tempo; 120 is assumed' });
    const first = this.first ?? {
      key: this.key,
      meter: { beats: 4, unit: 4 } as Meter,
      tempo: { bpm: 120, count: 'quarter' } as Tempo,
    };
    const decided = keysByChords(first.key, withMelody(this.bars), this.open);
    remarks.push(...decided.remarks);
    for (const [what, place] of this.left) remarks.push({ place, message: `left out: ${what}` });
    return {
      chords: this.chords,
      notes: this.notes,
      remarks,
      sheet: {
        ...head,
        ...first,
        key: decided.key,
        bars: openRepeats(this.sung.over(decided.bars), false),
        form: this.form,
      },
    };
  }

  leave(what: string, place: Place): void {
    const told = this.left.size < mostLeft ? what : 'more things that a chart cannot have';
    if (!this.left.has(told)) this.left.set(told, place);
  }

  /** The chords of the measure that a simile sign stands for; none where there is no such sign. */
  private repeated(): readonly SheetChord[] {
    return this.same === null ? [] : (this.bars[this.bars.length - this.same]?.chords ?? []);
  }

  /** Chords in the order of time. Of those at one place the one that was written last counts. */
  private inOrder(chords: readonly SheetChord[]): readonly SheetChord[] {
    const sorted = [...chords].sort((one, other) => one.at - other.at);
    return sorted.filter(({ at, place }, index) => {
      const last = Math.abs((sorted[index + 1]?.at ?? -1) - at) > 1e-9;
      if (!last) this.leave('all but the last of several chords at the same place', place);
      return last;
    });
  }

  private duration(node: Node): number {
    const value = Number(textOf(node, 'duration') ?? Number.NaN);
    const quarters = value / this.divisions;
    return quarters > 0 && quarters <= mostQuarters ? quarters : 0;
  }

  /** Notes of a chord sound together with the first; grace notes take no time. */
  private noteLength(node: Node): number {
    const slash = child(node, 'notehead')?.text.trim() === 'slash';
    if (!child(node, 'rest') && !slash) this.notes += 1;
    for (const lyric of node.children.filter(({ name }) => name === 'lyric')) {
      this.leave(sungLeftOut, node.place);
      const text = lyric.children.flatMap((one) => (one.name === 'text' ? [one.text.trim()] : [])).join(' ');
      const verse = lyric.attributes.number ?? '1';
      if (text !== '') this.syllables.push({ verse, text, syllabic: textOf(lyric, 'syllabic') ?? 'single' });
    }
    if (child(node, 'grace')) this.leave('grace notes', node.place);
    for (const notations of node.children.filter(({ name }) => name === 'notations'))
      for (const one of notations.children)
        for (const { name, place } of signGroups.has(one.name) ? one.children : [one])
          if (!melodyOnly.has(name) && name !== 'fermata' && name !== 'caesura')
            this.leave(`the sign “${name}”`, place);
    return child(node, 'chord') || child(node, 'grace') ? 0 : this.duration(node);
  }

  /** A note or rest of the first staff as the melody has it; `null` for what is no part of it. */
  private scoreNote(node: Node, at: number, length: number): ScoreNote | null {
    if (child(node, 'grace') || child(node, 'cue') || !['1', undefined].includes(textOf(node, 'staff')))
      return null;
    const chord = child(node, 'chord') !== undefined;
    const pitch = child(node, 'pitch');
    const step = 'CDEFGAB'.indexOf((pitch && textOf(pitch, 'step')) || '?');
    const octave = Number((pitch && textOf(pitch, 'octave')) ?? Number.NaN);
    const alter = Math.round(Number((pitch && textOf(pitch, 'alter')) ?? 0));
    const isNote =
      step >= 0 &&
      octave >= 0 &&
      octave <= 9 &&
      Math.abs(alter) <= 2 &&
      child(node, 'notehead')?.text.trim() !== 'slash';
    return {
      at,
      quarters: chord ? this.duration(node) : length,
      staff: isNote ? { step: 7 * octave + step, alter } : null,
      tie:
        isNote && node.children.some(({ name, attributes }) => name === 'tie' && attributes.type === 'start'),
      voice: textOf(node, 'voice') ?? '1',
      chord,
    };
  }

  private attributes(node: Node, before: SheetBar): SheetBar {
    let bar = before;
    const divisions = Number(textOf(node, 'divisions') ?? Number.NaN);
    if (divisions > 0) this.divisions = divisions;
    const key = child(node, 'key');
    if (key) bar = this.keySignature(key, bar);
    for (const one of node.children) this.attribute(one);
    const time = child(node, 'time');
    const beats = Number(time && textOf(time, 'beats'));
    const unit = Number(time && textOf(time, 'beat-type'));
    if (time) {
      if (child(time, 'interchangeable')) this.leave('the second of two time signatures', time.place);
      const parts = time.children.filter(({ name }) => name === 'beats').length;
      if (parts === 1 && beats >= 1 && beats <= 16 && (unit === 2 || unit === 4 || unit === 8)) {
        this.meter = { beats, unit };
        bar = { ...bar, meter: this.meter };
      } else this.leave('a time signature that a chart cannot have', time.place);
    }
    return bar;
  }

  /** Other attributes: how notes are drawn, but for a transposition and signs for what is repeated. */
  private attribute({ name, children, place }: Node): void {
    if (name === 'transpose') this.leave('a transposition: chords are kept as written', place);
    else if (name === 'measure-style')
      for (const one of children) {
        const measures = Number(one.text.trim() || 1);
        if (one.name === 'measure-repeat')
          this.same = one.attributes.type === 'stop' ? null : measures >= 1 ? Math.round(measures) : null;
        else if (one.name === 'beat-repeat') this.leave('signs for a repeated beat', place);
      }
    else if (!drawnAttributes.has(name)) this.leave(leftOf('of the attributes', name), place);
  }

  /** A signature with its mode; without one, the chords will say which it is. */
  private keySignature(node: Node, bar: SheetBar): SheetBar {
    const fifths = Number(textOf(node, 'fifths') || Number.NaN);
    const word = textOf(node, 'mode') ?? '';
    const mode = modeNamed(word);
    const read = keyOfSignature(fifths, mode ?? 'major');
    if (read === null) {
      this.leave('a key signature that cannot be read', node.place);
      return bar;
    }
    if (mode === null) this.open.push({ bar: this.bars.length, fifths, place: node.place });
    if (mode === null && !['', 'none'].includes(word))
      this.leave(`the mode “${word.slice(0, 20)}”`, node.place);
    if (read.remark !== null && mode !== null) this.remarks.push({ place: node.place, message: read.remark });
    this.key = read.key;
    return { ...bar, key: read.key };
  }

  private chord(node: Node, at: number): SheetChord {
    this.chords += 1;
    const offset = Number(textOf(node, 'offset') ?? 0) / this.divisions;
    const place = Math.max(0, at + (Number.isFinite(offset) ? offset : 0));
    const count = (name: string): number => node.children.filter((one) => one.name === name).length;
    if (count('kind') > 1) this.leave('all but the first chord of a harmony', node.place);
    if (count('inversion') > 0)
      this.leave('the lowest note of a chord, where it is given as a number', node.place);
    if (count('frame') > 0) this.leave('shapes of chords', node.place);
    const read = chordOf(node);
    if (typeof read === 'string')
      this.remarks.push({
        place: node.place,
        message: `“${read}” is not a known chord: nc is written, with this text as a cue`,
      });
    return typeof read === 'string'
      ? { at: place, chord: null, text: read, place: node.place }
      : { at: place, chord: read, text: null, place: node.place };
  }

  /** A sign of the way. One that concerns what comes after its bar is taken so wherever in the bar it stands. */
  private way(bar: SheetBar, sign: WaySign, place: Place, at: number): SheetBar {
    if (sign.kind === 'mark' && sign.mark !== 'sign' && at < 1e-9 && !bar.marks?.includes(sign.mark))
      this.remarks.push({
        place,
        message: `“${sign.mark === 'fine' ? 'Fine' : 'To Coda'}” is at the beginning of its bar and is read as if it came after the bar`,
      });
    return withSign(bar, sign);
  }

  /** Segno and coda on a bar line: on the left one they are the bar's. */
  private signsOfLine(node: Node, bar: SheetBar): SheetBar {
    const segno = child(node, 'segno');
    const coda = child(node, 'coda');
    const one = segno ?? coda;
    if (!one) return bar;
    if (node.attributes.location !== 'left') {
      this.leave('a segno or coda on the bar line after a bar', one.place);
      return bar;
    }
    const signed = segno ? withSign(bar, { kind: 'mark', mark: 'sign' }) : bar;
    return coda ? withSign(signed, { kind: 'coda' }) : signed;
  }

  private direction(node: Node, before: SheetBar, at: number): SheetBar {
    let bar = before;
    // This is how our own files distinguish the words of a phrase from a cue.
    const isPhrase = /^words-\d+-\d+$/.test(node.attributes.id ?? '');
    const types = node.children
      .filter(({ name }) => name === 'direction-type')
      .flatMap(({ children }) => children);
    // The coda's sign beside “To Coda” is where one leaves, not where it begins.
    const leaves =
      child(node, 'sound')?.attributes.tocoda !== undefined ||
      types.some(({ name, text }) => name === 'words' && isToCoda(text));
    for (const type of node.children.filter(({ name }) => name === 'direction-type')) {
      for (const one of type.children) {
        const text = one.text.replace(/\s+/g, ' ').trim();
        if (one.name === 'rehearsal' && text !== '') bar = { ...bar, section: text.slice(0, 60) };
        else if (one.name === 'words' && text !== '' && isPhrase) this.phrase.push(text);
        else if (one.name === 'words' && text !== '') bar = this.worded(bar, text, one.place, at);
        else if (one.name === 'metronome') bar = this.metronome(one, bar);
        else if (one.name === 'segno') bar = withSign(bar, { kind: 'mark', mark: 'sign' });
        else if (one.name === 'coda') bar = leaves ? bar : withSign(bar, { kind: 'coda' });
        else if (one.name !== 'rehearsal' && one.name !== 'words')
          this.leave(leftOf('of the directions', one.name), one.place);
      }
    }
    const sound = child(node, 'sound');
    return sound ? this.sound(sound, bar, at) : bar;
  }

  private worded(bar: SheetBar, text: string, place: Place, at: number): SheetBar {
    const form = /^form: (.+)$/.exec(text)?.[1];
    if (form !== undefined && this.bars.length === 0) {
      this.form = form.split(',').flatMap((entry) => {
        const [, name = '', times = '1'] = /^(.*?)(?:\s+x(\d{1,2}))?$/.exec(entry.trim()) ?? [];
        return Array.from({ length: Math.max(1, Number(times)) }, () => name.trim());
      });
      return bar;
    }
    const sign = waySignOfWords(text);
    const told = backToldOf(text, sign);
    if (told !== null) this.remarks.push({ place, message: told });
    if (sign) return this.way(bar, sign, place, at);
    this.cues.push(text);
    return bar;
  }

  private metronome(node: Node, bar: SheetBar): SheetBar {
    const units = node.children.filter(({ name }) => name === 'beat-unit');
    const dots = node.children.filter(({ name }) => name === 'beat-unit-dot').length;
    const quarters = (unitQuarters[units[0]?.text.trim() ?? ''] ?? Number.NaN) * (2 - 2 ** -dots);
    const count = quarters === 2 ? 'half' : quarters === 1.5 ? 'dotted' : 'quarter';
    const bpm = Math.round(
      (Number(textOf(node, 'per-minute') || Number.NaN) * quarters) / countedQuarters[count],
    );
    if (units.length !== 1 || !(bpm >= 20 && bpm <= 400)) {
      this.leave('a metronome mark that cannot be read', node.place);
      return bar;
    }
    this.tempo = { bpm, count };
    return { ...bar, tempo: this.tempo };
  }

  /** `<sound tempo>` counts quarters; what a metronome mark said goes before it. */
  private sound(node: Node, before: SheetBar, at: number): SheetBar {
    const { segno, coda, dacapo, dalsegno, tocoda, fine } = node.attributes;
    const signs: readonly (WaySign | false)[] = [
      segno !== undefined && { kind: 'mark', mark: 'sign' },
      coda !== undefined && { kind: 'coda' },
      tocoda !== undefined && { kind: 'mark', mark: 'to-coda' },
      fine !== undefined && { kind: 'mark', mark: 'fine' },
      dalsegno !== undefined && { kind: 'back', way: { from: 'sign', to: null } },
      dacapo === 'yes' && { kind: 'back', way: { from: 'top', to: null } },
    ];
    const bar = signs.reduce<SheetBar>(
      (signed, sign) => (sign ? this.way(signed, sign, node.place, at) : signed),
      before,
    );
    for (const name of Object.keys(node.attributes))
      if (!soundKept.has(name)) this.leave(`how it sounds: ${name}`, node.place);
    for (const one of node.children) this.leave(`how it sounds: ${one.name}`, one.place);
    const quarters = Number(node.attributes.tempo ?? Number.NaN);
    if (bar.tempo || !(quarters >= 20 && quarters <= 400)) return bar;
    this.tempo = { bpm: Math.round(quarters), count: 'quarter' };
    return { ...bar, tempo: this.tempo };
  }

  private barline(node: Node, before: SheetBar): SheetBar {
    let bar = before;
    for (const { name, place } of node.children)
      if (!['bar-style', 'repeat', 'ending', 'segno', 'coda'].includes(name))
        this.leave(leftOf('of a bar line', name), place);
    const repeat = child(node, 'repeat')?.attributes;
    if (repeat?.direction === 'forward') bar = { ...bar, opens: true };
    if (repeat?.direction === 'backward') {
      const times = Number(repeat.times ?? 2);
      bar = { ...bar, closes: Number.isInteger(times) && times >= 2 ? times : 2 };
      if (times !== bar.closes)
        this.leave(`a repeat marked ${String(repeat.times).slice(0, 10)} times is read as twice`, node.place);
    }
    const ending = child(node, 'ending')?.attributes;
    if (ending?.type === 'start') {
      const times = (ending.number ?? '')
        .split(/[,\s]+/)
        .map(Number)
        .filter((time) => Number.isInteger(time) && time >= 1 && time <= 16);
      if (times.length === 0) this.leave('an ending without a valid number', node.place);
      bar = { ...bar, ending: times.length > 0 ? times : [1] };
    }
    if (ending && ending.type !== 'start') bar = { ...bar, endsEnding: true };
    return bar;
  }
}

function isToCoda(text: string): boolean {
  const sign = waySignOfWords(text);
  return sign?.kind === 'mark' && sign.mark === 'to-coda';
}

function child(node: Node, name: string): Node | undefined {
  return node.children.find((one) => one.name === name);
}

function textOf(node: Node, name: string): string | undefined {
  return child(node, name)?.text.trim();
}

/** A chord of a `harmony` element; `null` for none; the text that stands for one that is not known. */
function chordOf(node: Node): Chord | null | string {
  const kindNode = child(node, 'kind');
  const kind = kindNode?.text.trim() ?? 'major';
  const written = kindNode?.attributes.text ?? '';
  if (kind === 'none') return null;
  const root = noteOf(child(node, 'root'), 'root');
  const bass = noteOf(child(node, 'bass'), 'bass');
  if (root === null) return written || 'a chord by function';
  const degrees = node.children
    .filter(({ name }) => name === 'degree')
    .map((degree): HarmonyDegree => {
      const type = textOf(degree, 'degree-type');
      return {
        value: Number(textOf(degree, 'degree-value')),
        alter: Number(textOf(degree, 'degree-alter') ?? 0),
        type: type === 'alter' || type === 'subtract' ? type : 'add',
      };
    });
  const quality = qualityOfKind(kind, degrees);
  if (quality !== null) return { root, quality, bass };
  const read = parseChord(`${root}${written}`);
  return read.ok && written !== ''
    ? { ...read.value, bass: bass ?? read.value.bass }
    : `${root}${written || ` ${kind}`}`;
}

function noteOf(node: Node | undefined, tag: 'root' | 'bass'): string | null {
  const step = node && textOf(node, `${tag}-step`);
  const alter = Number((node && textOf(node, `${tag}-alter`)) ?? 0);
  if (!step || !/^[A-G]$/.test(step) || !Number.isInteger(alter) || Math.abs(alter) > 1) return null;
  return step + (alter === 1 ? '#' : alter === -1 ? 'b' : '');
}
