import { type Click, clickAt, clickNotes, cueNotes, usualClick } from './click.js';
import { type NoteEvent, packEvents } from './event.js';
import { withCut } from './lead-cut.js';
import type { LeadTaste, Led } from './lead-line.js';
import { type LeadWay, leadOf, leadPlace, ledAlike } from './lead-sent.js';
import type { Score, ScoreBar } from './score.js';
import { heldMsPerTick, type Segment, segmentBars } from './segment.js';
import type { Sent } from './sent.js';
import { type Sound, usualSound } from './sound.js';
import type { ScoreStop } from './stretch.js';
import { millisecondsPerTick, type Ticks, ticksPerQuarter } from './units.js';

/** What to play: a pass on the timeline, and how often. A loop is a range of its bars. */
export interface Take {
  readonly score: Score;
  /** The final pass, where it differs (`[last … ]` bars). */
  readonly finalScore?: Score;
  /** Bars played, half open; the whole pass when absent. */
  readonly range?: { readonly from: number; readonly to: number };
  /** How many passes; `null` plays without end. */
  readonly passes: number | null;
  /** Share of the chart's tempo, 1 is the whole. */
  readonly share: number;
  /** Bars of count-in. */
  readonly countIn: number;
  readonly click?: Click;
  /** A tempo that rises or falls: from `share` to `to`, bar by bar, over this many bars from the beginning. */
  readonly ramp?: { readonly to: number; readonly bars: number };
  readonly sound?: Sound;
  /** The notes of the range's last bar with a run of the bass into its first, for when it is played again. */
  readonly loopLead?: readonly NoteEvent[];
  /** A bar after which the music jumps elsewhere: its bass must not lead to what follows in the pass. */
  readonly leaves?: number;
  /**
   * For the tune: the transport tick at which the music goes elsewhere, and the bar that it goes to the start of; `null` where that is
   * not at a bar's start, so that nothing leads there.
   */
  readonly leavesFor?: { readonly tick: number; readonly bar: number | null };
  /** Where the tune sounds; where others lead when absent. */
  readonly lead?: LeadTaste;
  /** Whether held chords and stops of the band wait until they are released; otherwise they take their length. */
  readonly holds?: boolean;
}

/** Where the music stands. `beat` and `into` (0–1 within the beat) count from the bar's start; passes count from 1. */
export interface Position {
  readonly phase: 'count-in' | 'bar' | 'end';
  readonly pass: number;
  readonly bar: number;
  readonly beat: number;
  readonly into: number;
  /** Ticks until the next beat, or the bar's end. */
  readonly ticksLeft: number;
  /** What waits until it is released, where time stands still. */
  readonly waits?: ScoreStop['kind'];
}

/** All a conductor knows: the take, what was sent, and what to send next. */
export interface Conductor {
  readonly take: Take;
  readonly sent: readonly Sent[];
  readonly nextId: number;
  /** What comes after everything sent so far; `null` if nothing does. `before`: bars played until then. */
  readonly next: Next | null;
}

/** A place that is still to be sent. `jump`: the music is sent there from elsewhere. */
interface Next {
  readonly tick: number;
  readonly pass: number;
  readonly bar: number;
  readonly before: number;
  readonly jump?: boolean;
  /** Ticks into the bar; 0 when absent. */
  readonly into?: number;
  /** What the tune plays before it; `none` if nothing leads into it, because it comes at once. */
  readonly led?: Led | 'none';
}

/** A conductor's answer: its next state and the segments to append. */
export interface Conducted {
  readonly conductor: Conductor;
  readonly segments: readonly Segment[];
}

/** From the stroke of a held chord until time stands still: room for its notes, which are not struck all at once. */
const strikeTicks = ticksPerQuarter / 8;

/** How far ahead segments are sent: sixteen bars of four, twenty seconds or so. */
const horizon = 64 * ticksPerQuarter;

/** Begins a take at a bar, with its count-in, at a transport tick. */
export function begin(take: Take, bar: number, tick: number, pass = 1, firstId = 1): Conducted {
  const first = clampToRange(take, bar, pass);
  const conductor: Conductor = {
    take,
    sent: [],
    nextId: firstId,
    next: { tick, pass, bar: first, before: 0, jump: true },
  };
  const counted = take.countIn > 0 ? sendCount(conductor, 0) : { conductor, segments: [] };
  return join(counted, feed(counted.conductor, tick));
}

/**
 * Begins a take without count-in at a place of the song: ticks from its start, as gear counts them that knows nothing
 * of passes. Places beyond a pass are in later ones.
 */
export function beginAt(take: Take, song: number, tick: number, firstId = 1): Conducted {
  let pass = 1;
  let left = song;
  let before = 0;
  for (;;) {
    const { from, to } = rangeOf(take, scoreOf(take, pass));
    const length = ticksBetween(scoreOf(take, pass), from, to);
    if (left < length) break;
    if (take.passes !== null && pass >= take.passes)
      return { conductor: { take, sent: [], nextId: firstId, next: null }, segments: [] };
    left -= length;
    before += to - from;
    pass += 1;
  }
  const { bars } = scoreOf(take, pass);
  const { from } = rangeOf(take, scoreOf(take, pass));
  const place = (bars[from]?.start ?? 0) + left;
  const bar = Math.max(
    from,
    bars.findLastIndex((one) => one.start <= place),
  );
  const into = place - (bars[bar]?.start ?? 0);
  const conductor: Conductor = {
    take,
    sent: [],
    nextId: firstId,
    next: { tick, pass, bar, before: before + bar - from, jump: true },
  };
  const first = sendChunk(conductor, into);
  return join(first, feed(first.conductor, tick));
}

/** Appends what must be ready by now, and forgets what is over: call it whenever time has gone on. */
export function feed(conductor: Conductor, tick: number): Conducted {
  return sendAhead({ ...conductor, sent: forgetPast(conductor.sent, tick) }, tick);
}

/** Appends what must be ready at a tick which may still be to come: what sounds until then is kept. */
export function sendAhead(conductor: Conductor, tick: number): Conducted {
  let answer: Conducted = { conductor, segments: [] };
  for (let next = conductor.next; next !== null && next.tick - tick < horizon; next = answer.conductor.next) {
    answer = join(answer, sendChunk(answer.conductor, next.into ?? 0));
  }
  return answer;
}

/** What ended long ago is of no more use; one segment after is kept for a cursor that looks back a little. */
function forgetPast(sent: readonly Sent[], tick: number): readonly Sent[] {
  const here = sent.findLastIndex((one) => one.startTick <= tick);
  return here > 1 ? sent.slice(here - 1) : sent;
}

/**
 * Puts another take in place of the rest of this one from a transport tick on, without a jump: the music
 * goes on at the same place of the same bar. With `bar` it goes to that bar's start instead. From the end of all that there is to be
 * played on it ends, or goes on with another pass where the new take has one.
 */
export function retake(conductor: Conductor, take: Take, asked: number, bar?: number): Conducted {
  // Nothing can begin later than what is played before it ends.
  const over = endTick(conductor);
  const tick = Math.min(asked, over);
  const sentBefore = conductor.sent.filter((sent) => sent.startTick < tick);
  const here = locate(conductor, tick);
  const base: Conductor = { take, sent: sentBefore, nextId: conductor.nextId, next: null };
  if (bar === undefined && tick === over)
    return sendAhead({ ...base, next: anotherPass(conductor, take, over) }, tick);
  if (bar !== undefined || !here) {
    const pass = here?.sent.phase === 'bar' ? here.pass : 1;
    const target = clampToRange(take, bar ?? 0, pass);
    const next: Next = { tick, pass, bar: target, before: here?.before ?? 0, jump: true, led: 'none' };
    return withCut(conductor.sent, sendAhead({ ...base, next }, tick), tick);
  }
  if (here.sent.phase === 'count-in') {
    const counted = sendCount(
      { ...base, next: { tick, pass: here.pass, bar: clampToRange(take, here.bar, here.pass), before: 0 } },
      here.offset,
    );
    // A pick-up may sound over the count.
    return withCut(conductor.sent, join(counted, sendAhead(counted.conductor, tick)), tick);
  }
  const inside = clampToRange(take, here.bar, here.pass) === here.bar;
  const start: Conductor = {
    ...base,
    next: {
      tick,
      pass: here.pass,
      bar: clampToRange(take, here.bar, here.pass),
      before: here.before,
      jump: !inside,
      ...(inside ? leftBehind(conductor, here) : { led: 'none' }),
    },
  };
  const first = sendChunk(start, inside ? here.into : 0);
  return withCut(conductor.sent, join(first, sendAhead(first.conductor, tick)), tick);
}

/** The transport tick at which all that is to be played is over; infinite where more is to be sent or nothing was. */
function endTick({ sent, next }: Conductor): number {
  const last = sent.at(-1);
  return next === null && last && !last.repeats ? last.startTick + last.length : Number.POSITIVE_INFINITY;
}

/** The pass after the last that was sent, where a take has it. */
function anotherPass({ sent }: Conductor, take: Take, tick: number): Next | null {
  const last = sent.at(-1);
  if (!last || (take.passes !== null && last.pass >= take.passes)) return null;
  const pass = last.pass + 1;
  const { from } = rangeOf(take, scoreOf(take, pass));
  return { tick, pass, bar: from, before: last.before + last.bars.length, jump: true };
}

/** What of the tune was played before the bar that sounds, which goes on: as it was led into. */
function leftBehind({ take }: Conductor, { pass, bar, before }: Located): Pick<Next, 'led'> {
  const score = scoreOf(take, pass);
  const { from, to } = rangeOf(take, score);
  if (bar === from && before === 0) return {};
  const place = leadPlace(score, bar > from ? bar - 1 : to - 1);
  return { led: place ? { place, follows: bar > from } : 'none' };
}

/** A place in a take: a bar of a pass, and ticks into it. */
export interface TakePlace {
  readonly pass: number;
  readonly bar: number;
  readonly into: number;
  /** Bars played before it since the take began; as they are counted so far when absent. */
  readonly before?: number;
  /** The bar is counted in first, and `into` are ticks into the count. */
  readonly counting?: boolean;
}

/** A conductor that has sent everything up to a transport tick, as far as there is music. */
export function sentTo(conductor: Conductor, tick: number): Conducted {
  let answer: Conducted = { conductor, segments: [] };
  for (let next = conductor.next; next !== null && next.tick < tick; next = answer.conductor.next)
    answer = join(answer, sendChunk(answer.conductor, next.into ?? 0));
  return answer;
}

/**
 * From a transport tick on, which may lie ahead, the music goes on at another place, with another take. Everything up to
 * there must have been sent (`sentTo`).
 */
export function retakeAt(conductor: Conductor, take: Take, tick: number, place: TakePlace): Conducted {
  const here = locate(conductor, tick);
  const { to } = rangeOf(take, scoreOf(take, place.pass));
  const base: Conductor = {
    take,
    sent: conductor.sent.filter((sent) => sent.startTick < tick),
    nextId: conductor.nextId,
    next: {
      tick,
      pass: place.pass,
      // After the end of what is played there is nothing to send.
      bar: place.bar < to ? place.bar : clampToRange(take, place.bar, place.pass),
      before: place.before ?? here?.before ?? conductor.next?.before ?? 0,
      jump: true,
      ...ledTo(conductor, tick),
    },
  };
  if (!place.counting) return withCut(conductor.sent, sendChunk(base, place.into), tick);
  const counted = sendCount(base, place.into);
  return withCut(conductor.sent, counted.segments.length > 0 ? counted : sendChunk(base, 0), tick);
}

/** What of the tune is played before a tick at which the music goes elsewhere: the bar that ends there. Within a bar nothing leads on. */
function ledTo(conductor: Conductor, tick: number): Pick<Next, 'led'> {
  const left = locate(conductor, tick - 1);
  if (!left) return {};
  if (left.sent.phase === 'count-in') return {};
  const score = scoreOf(conductor.take, left.pass);
  const ends = left.into + 1 === score.bars[left.bar]?.length;
  const place = ends ? leadPlace(score, left.bar) : null;
  return { led: place ? { place, follows: false } : 'none' };
}

/** Where a transport tick stands in what was sent, so that another conductor can go on from there; `null` after its end. */
export function placeAt(conductor: Conductor, tick: number): Required<TakePlace> | null {
  const here = locate(conductor, tick);
  if (!here) return null;
  const { pass, bar, before } = here;
  const counting = here.sent.phase === 'count-in';
  return { pass, bar, into: counting ? here.offset : here.into, before, counting };
}

/** Where the music is at a transport tick. */
export function positionAt(conductor: Conductor, tick: number): Position {
  const here = locate(conductor, tick);
  if (!here)
    return {
      phase: 'end',
      pass: conductor.sent.at(-1)?.pass ?? 1,
      bar: lastBar(conductor),
      beat: 0,
      into: 0,
      ticksLeft: ticksPerQuarter,
    };
  const { sent, bar, into, pass } = here;
  const placed = sent.phase === 'count-in' ? sent.bars[here.index] : scoreOf(conductor.take, pass).bars[bar];
  const beats = placed?.beats ?? [0];
  const beat = Math.max(
    0,
    beats.findLastIndex((start) => start <= into),
  );
  const start = beats[beat] ?? 0;
  const end = beats[beat + 1] ?? placed?.length ?? start + ticksPerQuarter;
  return {
    phase: sent.phase,
    pass,
    bar,
    beat,
    into: Math.min(1, (into - start) / (end - start)),
    // Where time is about to stand still, that comes before the next beat.
    ticksLeft: sent.repeats ? end - into : Math.min(end - into, sent.startTick + sent.length - tick),
    ...(sent.waits ? { waits: sent.waits } : {}),
  };
}

/** The id of the segment in which time stands still at a tick, or begins to within the beat of the chord just struck; `null` for none. */
export function heldSegment({ sent }: Conductor, tick: number): number | null {
  const here = sent.findLast(({ startTick }) => startTick <= tick);
  if (here?.waits) return tick < here.startTick + here.length ? here.id : null;
  const next = sent.find(({ startTick }) => startTick > tick);
  return next?.waits === 'chord' && next.startTick - tick <= strikeTicks ? next.id : null;
}

/** The transport tick at which the bar ends that sounds at a tick. */
export function barEnd(conductor: Conductor, tick: number): number {
  const here = locate(conductor, tick);
  if (!here) return tick;
  const placed =
    here.sent.phase === 'count-in'
      ? here.sent.bars[here.index]
      : scoreOf(conductor.take, here.pass).bars[here.bar];
  return tick + (placed?.length ?? here.into) - here.into;
}

/** A bar or part of one, as it is played: transport ticks, half open. */
export interface Stretch {
  readonly phase: 'count-in' | 'bar';
  readonly pass: number;
  readonly bar: number;
  readonly from: number;
  readonly to: number;
  /** The transport tick of the bar's first beat, which may have been left out. */
  readonly start: number;
}

/** What is played from a transport tick up to another, bar by bar, as far as it was sent. */
export function stretches(conductor: Conductor, from: number, to: number): Stretch[] {
  const found: Stretch[] = [];
  let tick = Math.max(from, conductor.sent[0]?.startTick ?? from);
  while (tick < to) {
    const here = locate(conductor, tick);
    if (!here) break;
    const { sent, pass, bar, into } = here;
    const next = conductor.sent.find(({ startTick }) => startTick > tick)?.startTick;
    const end = Math.min(
      barEnd(conductor, tick),
      next ?? Number.POSITIVE_INFINITY,
      sent.repeats ? Number.POSITIVE_INFINITY : sent.startTick + sent.length,
    );
    found.push({ phase: sent.phase, pass, bar, from: tick, to: end, start: tick - into });
    if (end <= tick) break;
    tick = end;
  }
  return found;
}

interface Located {
  readonly sent: Sent;
  readonly pass: number;
  /** Ticks from the start of what the segment plays (its skip included). */
  readonly offset: number;
  /** Index among the segment's bars, the bar of the pass, and ticks into it. */
  readonly index: number;
  readonly bar: number;
  readonly into: number;
  /** Bars of music played before this one. */
  readonly before: number;
}

function locate(conductor: Conductor, tick: number): Located | null {
  const sent = conductor.sent.findLast((one) => one.startTick <= tick) ?? conductor.sent[0];
  if (!sent) return null;
  const since = Math.max(0, tick - sent.startTick);
  if (!sent.repeats && since >= sent.length) return null;
  const round = Math.floor(since / sent.length);
  const offset = (since % sent.length) + sent.skip;
  const base = sent.bars[0]?.start ?? 0;
  const index = Math.max(
    0,
    sent.bars.findLastIndex((bar) => bar.start - base <= offset),
  );
  const into = offset - ((sent.bars[index]?.start ?? 0) - base);
  const bar = sent.phase === 'count-in' ? sent.firstBar : sent.firstBar + index;
  const before = sent.phase === 'count-in' ? sent.before : sent.before + round * sent.bars.length + index;
  return { sent, pass: sent.pass + round, offset, index, bar, into, before };
}

function lastBar(conductor: Conductor): number {
  const last = conductor.sent.at(-1);
  return last ? last.firstBar + last.bars.length - 1 : 0;
}

function sendCount(conductor: Conductor, skip: number): Conducted {
  const { take, next } = conductor;
  const first = next && scoreOf(take, next.pass).bars[next.bar];
  if (!next || !first) return { conductor, segments: [] };
  // Counted in time, whatever the first bar waits for or slows down to.
  const { tempos: _, ...model } = first.written ?? first;
  const length = model.length;
  // A count that is over by now, or is no longer wanted, leads straight into the music.
  if (length * take.countIn <= skip) return { conductor, segments: [] };
  const bars = Array.from({ length: take.countIn }, (_, index) => ({
    ...model,
    start: (index * length) as Ticks,
    length: length as Ticks,
  }));
  // The count is heard whatever the click does later.
  const notes = bars.map((bar) => clickNotes(bar, usualClick, take.sound ?? usualSound));
  return send(conductor, {
    phase: 'count-in',
    bars,
    notes,
    firstBar: next.bar,
    skip,
    onEnd: 'next',
    after: { pass: next.pass, bar: next.bar, before: next.before, jump: true },
  });
}

function sendChunk(conductor: Conductor, skip: number): Conducted {
  const { take, next } = conductor;
  if (!next) return { conductor, segments: [] };
  const score = scoreOf(take, next.pass);
  const range = rangeOf(take, score);
  const most = Math.min(next.bar + segmentBars, range.to);
  const stop = take.holds ? stopAhead(score.bars, next.bar, most, skip) : null;
  const to = stop ? stop.bar + (stop.ends ? 1 : 0) : most;
  const bars = score.bars.slice(next.bar, stop ? stop.bar + 1 : to);
  // A loop that the score does not have: there is nothing that could be sent, ever.
  if (bars.length === 0) return { conductor: { ...conductor, next: null }, segments: [] };
  const click = take.click ?? usualClick;
  const passEnds = to === range.to;
  const lastPass = take.passes !== null && next.pass >= take.passes;
  const goesElsewhere = (bar: number): boolean =>
    bar === take.leaves ||
    (bar === range.to - 1 && (lastPass || range.from !== (bar + 1) % score.bars.length));
  const goesRound = (bar: number): readonly NoteEvent[] | undefined =>
    bar === range.to - 1 && !lastPass && bar !== take.leaves ? take.loopLead : undefined;
  const way: LeadWay = {
    score,
    nextScore: lastPass ? null : scoreOf(take, next.pass + 1),
    range,
    first: next.bar,
    count: bars.length,
    leaves: leavesIn(take, next, bars, skip),
    ...(take.lead ? { taste: take.lead } : {}),
  };
  const lead = leadOf(way, next.led);
  const notes = bars.map((bar, index) => {
    const here = clickAt(click, next.bar + index, next.before + index);
    return [
      ...(here ? clickNotes(bar, here, take.sound ?? usualSound) : []),
      ...(take.holds ? cueNotes(bar, take.sound) : []),
      ...(goesRound(next.bar + index) ?? notesOf(score, next.bar + index, goesElsewhere(next.bar + index))),
    ];
  });
  const whole = next.bar === range.from && passEnds && skip === 0;
  // A segment may repeat itself only if it is the same each time.
  const leaves = score.lead !== undefined && (take.leavesFor?.tick ?? 0) > next.tick;
  const constant = !click.gaps && !leaves && next.before >= (take.ramp?.bars ?? 0);
  const repeats = whole && constant && take.passes === null && ledAlike(way, lead);
  const onEnd = passEnds && lastPass ? 'stop' : repeats ? 'repeat' : 'next';
  const before = next.before + to - next.bar;
  const place = leadPlace(score, to - 1);
  const led = place ? { led: { place, follows: !passEnds } } : {};
  const after = !passEnds
    ? { pass: next.pass, bar: to, before, ...led, ...(stop && !stop.ends ? { into: stop.cut } : {}) }
    : lastPass
      ? null
      : { pass: next.pass + 1, bar: range.from, before, ...led };
  const piece = { phase: 'bar', bars, notes: [...notes, lead], firstBar: next.bar, skip, onEnd } as const;
  if (!stop) return send(conductor, { ...piece, after });
  const cut = stop.cut + (score.bars[stop.bar]?.start ?? 0) - (bars[0]?.start ?? 0);
  if (!stop.waits) return send(conductor, { ...piece, after, cut });
  // Gear that follows got no pulses while time stood still, so it is sent the place.
  return send(conductor, { ...piece, after: after && { ...after, jump: true }, cut, waits: stop.waits });
}

/**
 * The first place ahead at which what is sent must be cut because of a stop: `cut` ticks into `bar`. Before time stands still
 * (`waits` is `null`), or at the end of that. `ends`: that is the end of the bar.
 */
function stopAhead(
  bars: readonly ScoreBar[],
  from: number,
  to: number,
  into: number,
): { bar: number; cut: number; waits: ScoreStop['kind'] | null; ends: boolean } | null {
  for (let bar = from; bar < to; bar += 1) {
    const { stops, length = 0 } = bars[bar] as ScoreBar;
    const skip = bar === from ? into : 0;
    const stop = stops?.find((one) => one.to > skip);
    if (!stop) continue;
    const begins =
      stop.kind === 'band'
        ? stop.from
        : stop.from + Math.min(strikeTicks, Math.floor((stop.to - stop.from) / 2));
    return skip < begins
      ? { bar, cut: begins, waits: null, ends: false }
      : { bar, cut: stop.to, waits: stop.kind, ends: stop.to === length };
  }
  return null;
}

/** Which of some bars that are sent from a place on is left for another. */
function leavesIn(
  { leavesFor }: Take,
  next: Next,
  bars: readonly ScoreBar[],
  skip: number,
): LeadWay['leaves'] {
  if (!leavesFor) return null;
  const base = next.tick - skip - (bars[0]?.start ?? 0);
  const index = bars.findIndex(({ start, length }) => base + start + length === leavesFor.tick);
  return index < 0 ? null : { bar: next.bar + index, to: leavesFor.bar };
}

/** The notes of a bar, without a run into what comes next where the music goes elsewhere after it. */
function notesOf(score: Score, bar: number, goesElsewhere: boolean): readonly NoteEvent[] {
  return (goesElsewhere ? score.elsewhere?.[bar] : null) ?? score.notes[bar] ?? [];
}

interface Piece {
  readonly phase: Sent['phase'];
  readonly bars: readonly ScoreBar[];
  readonly notes: readonly (readonly NoteEvent[])[];
  readonly firstBar: number;
  readonly skip: number;
  readonly onEnd: Segment['onEnd'];
  readonly after: Omit<Next, 'tick'> | null;
  /** Where it ends, ticks from its first bar's start, when that is not the end of its last bar. */
  readonly cut?: number;
  readonly waits?: ScoreStop['kind'];
}

function send(conductor: Conductor, piece: Piece): Conducted {
  const { take, next, nextId: id } = conductor;
  if (!next) return { conductor, segments: [] };
  const base = piece.bars[0]?.start ?? 0;
  const whole = piece.bars.reduce((sum, bar) => sum + bar.length, 0);
  const length = (piece.cut ?? whole) - piece.skip;
  const { waits } = piece;
  const events = packEvents(
    (waits ? [] : piece.notes.flat()).map((note) => ({ ...note, at: note.at - base })),
  );
  const segment: Segment = {
    id,
    startTick: next.tick,
    skip: piece.skip,
    length,
    // The count is given in the tempo that the music begins with.
    tempoMap: waits
      ? Float64Array.of(0, heldMsPerTick)
      : tempoMapOf(piece.bars, base, (index) =>
          shareAt(take, next.before + (piece.phase === 'count-in' ? 0 : index)),
        ),
    events,
    song: piece.phase === 'count-in' ? null : base,
    jump: next.jump ?? false,
    onEnd: piece.onEnd,
    ...(waits ? { holds: true } : {}),
  };
  const repeats = piece.onEnd === 'repeat';
  const sent: Sent = {
    id,
    startTick: next.tick,
    skip: piece.skip,
    length,
    repeats,
    phase: piece.phase,
    pass: next.pass,
    bars: piece.bars,
    firstBar: piece.firstBar,
    before: next.before,
    events,
    ...(waits ? { waits } : {}),
  };
  const after = repeats || piece.after === null ? null : { tick: next.tick + length, ...piece.after };
  return {
    conductor: { take, sent: [...conductor.sent, sent], nextId: id + 1, next: after },
    segments: [segment],
  };
}

/** One pair for each stretch of equal tempo. */
function tempoMapOf(
  bars: readonly ScoreBar[],
  base: number,
  shareOf: (index: number) => number,
): Float64Array {
  const pairs: number[] = [];
  let tempo = -1;
  bars.forEach((bar, index) => {
    const share = shareOf(index);
    for (const { at, tempo: own } of bar.tempos ?? [{ at: 0, tempo: bar.tempo }]) {
      const here = own * share;
      if (here === tempo) continue;
      tempo = here;
      pairs.push(bar.start - base + at, millisecondsPerTick(here));
    }
  });
  return Float64Array.from(pairs);
}

/** The share of the tempo by how many bars were played before. */
export function shareAt({ share, ramp }: Pick<Take, 'share' | 'ramp'>, before: number): number {
  if (!ramp) return share;
  return share + (ramp.to - share) * Math.min(1, before / ramp.bars);
}

function scoreOf(take: Take, pass: number): Score {
  const last = take.passes !== null && pass >= take.passes;
  return last ? (take.finalScore ?? take.score) : take.score;
}

function rangeOf(take: Take, score: Score): { from: number; to: number } {
  const { from, to } = take.range ?? { from: 0, to: score.bars.length };
  return { from, to: Math.min(to, score.bars.length) };
}

/** Ticks from the start of one bar to that of another; at least one, so that counting them comes to an end. */
function ticksBetween({ bars }: Score, from: number, to: number): number {
  const last = bars[to - 1];
  return Math.max(1, (last ? last.start + last.length : 0) - (bars[from]?.start ?? 0));
}

function clampToRange(take: Take, bar: number, pass: number): number {
  const { from, to } = rangeOf(take, scoreOf(take, pass));
  return bar < from || bar >= to ? from : bar;
}

function join(one: Conducted, other: Conducted): Conducted {
  return { conductor: other.conductor, segments: [...one.segments, ...other.segments] };
}
