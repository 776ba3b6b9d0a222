import { levelsOf, type Performance } from '../../playback/performance.js';
import type { Session } from '../../playback/session.js';
import { type Span, tickAt, timeAt } from '../../time/segment.js';
import { sentNotes } from '../../time/sent-notes.js';
import type { SoundAhead } from '../sound-ahead.js';

/** Sounds are announced at most this far ahead, and at least as far as the second value, ms: drawing the screen delays it a little. */
const farMs = 2500;
const nearMs = 1500;
/** A sound that is this close to its announced time counts as unchanged, ms. */
const same = 0.5;
/** A sound this near is no longer withdrawn, ms: it has been sent to the sound card, and will sound. */
const sentAhead = 20;

/** What to announce: these sounds, in place of all that were announced from a time on (ms). */
export interface Announcement {
  readonly from: number;
  readonly sounds: readonly SoundAhead[];
}

/**
 * Tells which sounds the program's own instrument is about to make, each once: what was sent, as it is played, through jumps, loops and
 * changes of tempo. What was announced and is not played after all is withdrawn.
 */
export class SoundsAhead {
  private announced: readonly SoundAhead[] = [];
  private until = Number.NEGATIVE_INFINITY;
  private before: readonly unknown[] = [];

  /** Time has gone on, or the session has changed; `null`: nothing new. To be asked once a second at least. */
  look(session: Session, at: number): Announcement | null {
    const { link, performance } = session;
    const plays = isHeard(session) && performance?.conductor && link.spans.length > 0;
    if (!plays) return this.withdrawn(at);
    const from = at + sentAhead;
    // What is played is looked through again only when it may have changed, or time has gone on.
    const state = [performance.conductor?.sent, link.spans, performance.setup.mix, link.out?.offset];
    const unchanged = state.every((one, index) => one === this.before[index]);
    if (unchanged && at < this.dueAt) return null;
    this.before = state;
    const sounds = soundsOf(performance, link.spans, from, at + farMs, link.out?.offset ?? 0);
    const known = this.announced.filter(({ ms }) => ms >= from);
    let kept = 0;
    while (kept < known.length && kept < sounds.length && isSame(known[kept], sounds[kept])) kept += 1;
    this.until = at + farMs;
    this.announced = sounds;
    const gone = known[kept]?.ms ?? Number.POSITIVE_INFINITY;
    const next = sounds[kept]?.ms ?? Number.POSITIVE_INFINITY;
    if (gone === Number.POSITIVE_INFINITY && next === Number.POSITIVE_INFINITY) return null;
    // Sounds at the same time are announced again together.
    const first = Math.min(gone, next) - 2 * same;
    return { from: first, sounds: sounds.filter(({ ms }) => ms >= first) };
  }

  /** When it wants to be looked at next, ms; infinite: when something happens. */
  get dueAt(): number {
    return this.until === Number.NEGATIVE_INFINITY ? Number.POSITIVE_INFINITY : this.until - nearMs;
  }

  /** The ear hears something else from now on, and was told nothing. */
  forget(): void {
    this.announced = [];
    this.until = Number.NEGATIVE_INFINITY;
    this.before = [];
  }

  private withdrawn(at: number): Announcement | null {
    const wasAhead = this.announced.some(({ ms }) => ms > at);
    this.forget();
    return wasAhead ? { from: at, sounds: [] } : null;
  }
}

/** Whether the built-in sound plays a chart: its sounds are known. Courses that are sounded for tuning must be heard. */
function isHeard({ link, performance }: Session): boolean {
  return link.out?.kind === 'sound' && link.state === 'running' && performance?.tuning === false;
}

function soundsOf(
  performance: Performance,
  spans: readonly Span[],
  from: number,
  to: number,
  offset: number,
): SoundAhead[] {
  const { conductor } = performance;
  if (!conductor) return [];
  const levels = levelsOf(performance);
  const notes = sentNotes(conductor, tickAt(spans, from + offset), tickAt(spans, to + offset));
  return notes.flatMap(({ tick, length, voice, note, velocity, program, counts }): SoundAhead[] => {
    const level = levels[voice] ?? 100;
    if (level === 0) return [];
    const ms = timeAt(spans, tick) - offset;
    return [
      {
        ms,
        voice,
        note,
        velocity: Math.max(1, Math.min(127, Math.round((velocity * level) / 100))),
        length: timeAt(spans, tick + length) - offset - ms,
        ...(program < 0 ? {} : { program }),
        ...(counts ? { alone: true } : {}),
      },
    ];
  });
}

function isSame(one: SoundAhead | undefined, other: SoundAhead | undefined): boolean {
  return (
    one !== undefined &&
    other !== undefined &&
    Math.abs(one.ms - other.ms) <= same &&
    one.voice === other.voice &&
    one.note === other.note &&
    one.velocity === other.velocity &&
    one.alone === other.alone
  );
}
