import { pedalsDueAt } from '../../playback/pedals.js';
import { beatMs, type Setup } from '../../playback/setup.js';
import { startDelay } from '../../player/messages.js';
import { bandDueAt } from './band.js';
import type { Model } from './model.js';
import type { SetMode } from './modes.js';
import { drillOf, standMode } from './select.js';

/** When something is due without music, ms; `null` for never. */
export function dueAt(model: Model): number | null {
  const pending = standMode(model)?.stand.pending?.until ?? null;
  const band = model.band && bandDueAt(model.band, model.session);
  const due = [pedalsDueAt(model.pedals), pending, modeDueAt(model), band].filter(
    (one): one is number => one !== null && Number.isFinite(one),
  );
  return due.length > 0 ? Math.min(...due) : null;
}

function modeDueAt(model: Model): number | null {
  const { mode, at } = model;
  if (mode.kind === 'set') return setDueAt(model, mode);
  const { asking = null, hearing = null } = drillOf(mode) ?? {};
  if (asking !== null) return Math.min(asking, at + 1000);
  if (hearing !== null) return hearing;
  if (mode.kind !== 'sitting' || mode.phase === 'done') return null;
  const naming = mode.phase === 'playing' ? (mode.play?.dictation ?? null) : null;
  if (naming) return naming.until === null ? null : Math.min(naming.until, at + 1000);
  return mode.phase === 'playing' ? mode.until : Math.min(mode.until, at + 1000);
}

/** When something changes by itself on a set's own screens, ms: the gap's end, a second of a clock, a beat of the pulse. */
function setDueAt(model: Model, set: SetMode): number | null {
  const { run, since } = set;
  const ends =
    run.until === null || isLed(model, set)
      ? Number.POSITIVE_INFINITY
      : run.until - (run.phase === 'card' ? startLead(model) : 0);
  if (run.phase === 'break') return Math.min(ends, nextSecond(run.until ?? model.at, model.at));
  if (run.phase !== 'card') return null;
  const beat = pulseMs(model.session.performance?.setup ?? null);
  const next =
    beat === null
      ? Number.POSITIVE_INFINITY
      : since + (Math.floor((model.at - since) / beat + 1e-6) + 1) * beat;
  const second = run.until === null ? Number.POSITIVE_INFINITY : nextSecond(run.until, model.at);
  const due = Math.min(ends, next, second);
  return Number.isFinite(due) ? due : null;
}

/** When a clock that counts down to a time next shows another second. */
function nextSecond(until: number, at: number): number {
  const left = until - at;
  return left <= 0 ? Number.POSITIVE_INFINITY : until - (Math.ceil(left / 1000 - 1e-6) - 1) * 1000;
}

/** Whether an external clock begins the song whose card is shown. */
export function isLed({ session }: Pick<Model, 'session'>, { run }: SetMode): boolean {
  return session.link.following.label !== null && run.phase === 'card';
}

/** From play until the first click, ms. */
export function startLead({ session }: Pick<Model, 'session'>): number {
  return startDelay + session.link.lead;
}

/** How long a felt beat lasts at the tempo that is set, ms. */
export function pulseMs(setup: Pick<Setup, 'chart' | 'bpm'> | null): number | null {
  return setup && beatMs(setup);
}
