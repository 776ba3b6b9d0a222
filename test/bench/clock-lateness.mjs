// From what arrived and what was due: how late each deadline was, what never came, and whether the clock drifted.
import { alignInOrder } from './clock-align.mjs';
import { messagesOf } from './clock-midi.mjs';

/** Width of the bins in which the start is first looked for, ms. */
const binMs = 4;
/** Of each kind of message so many are looked at for that. */
const firstOnes = 24;

/**
 * How late the deadlines of a piece of music were. Nobody tells when the music started, so the start is taken from
 * the arrivals: the least of arrival minus musical time over the run. It is a lower bound, so lateness is never
 * negative, and it is found in the same way for every sender. A deadline is an instant of the music; the first byte
 * that arrives of it counts. `missed` counts messages that never came; `quiet` names channels that never sounded.
 */
export function latenessOf(batches, music) {
  const arrived = byKind(messagesOf(batches), 'time');
  const events = music.events.filter((event) => !isQuiet(event, arrived));
  const due = byKind(events, 'tick');
  const pairs = pairAll(arrived, due, roughStart(arrived, due, music.msPerTick), music.msPerTick);
  const quiet = new Set(music.events.filter((event) => isQuiet(event, arrived)).map(channelOf));
  return { ...summary(pairs, music.msPerTick), missed: events.length - pairs.length, quiet: [...quiet] };
}

function channelOf({ kind }) {
  return kind.split(' ')[1];
}

/** Whether an event is of a voice that never sounded. */
function isQuiet(event, arrived) {
  const channel = channelOf(event);
  return channel !== undefined && ![...arrived.keys()].some((kind) => kind.startsWith(`on ${channel} `));
}

/** The times or ticks of messages by their kind, in order. */
function byKind(messages, what) {
  const lists = new Map();
  for (const message of messages) append(lists, message.kind, message[what]);
  return lists;
}

function append(map, key, value) {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}

/**
 * About when the music started: the most common difference between the arrivals of a kind and their times, taken in order
 * from the beginning. Only the first of each kind: where one never comes, all after it would be taken for their neighbours.
 */
function roughStart(arrived, due, msPerTick) {
  const bins = new Map();
  for (const [kind, ticks] of due) {
    const times = arrived.get(kind) ?? [];
    for (let index = 0; index < Math.min(times.length, ticks.length, firstOnes); index += 1) {
      const start = times[index] - ticks[index] * msPerTick;
      append(bins, Math.round(start / binMs), start);
    }
  }
  let best = [];
  for (const starts of bins.values()) if (starts.length > best.length) best = starts;
  if (best.length === 0) throw new Error('nothing of the music arrived');
  return leastOf(best);
}

/** Pairs what arrived with what was due: `{tick, residual}`, the residual being arrival minus musical time, in ms. */
function pairAll(arrived, due, start, msPerTick) {
  const pairs = [];
  for (const [kind, ticks] of due) {
    const times = arrived.get(kind) ?? [];
    const wanted = ticks.map((tick) => start + tick * msPerTick);
    for (const [at, index] of alignInOrder(times, wanted))
      pairs.push({ tick: ticks[index], residual: times[at] - ticks[index] * msPerTick });
  }
  return pairs;
}

/** The figures of a run, in ms. */
function summary(pairs, msPerTick) {
  const byTick = new Map();
  for (const { tick, residual } of pairs) byTick.set(tick, Math.min(byTick.get(tick) ?? residual, residual));
  const deadlines = [...byTick]
    .map(([tick, residual]) => ({ ms: tick * msPerTick, residual }))
    .sort((one, other) => one.ms - other.ms);
  const start = leastOf(deadlines.map((one) => one.residual));
  const late = deadlines.map((one) => one.residual - start).sort((one, other) => one - other);
  return {
    count: late.length,
    p50: share(late, 0.5),
    p95: share(late, 0.95),
    p99: share(late, 0.99),
    p999: share(late, 0.999),
    max: late.at(-1),
    drift: driftOf(deadlines),
  };
}

/** The value below which a share of a sorted list lies. */
export function share(sorted, part) {
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))];
}

export function median(values) {
  return share(
    [...values].sort((one, other) => one - other),
    0.5,
  );
}

function leastOf(values) {
  return values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY);
}

/**
 * How much the sender's clock went astray over the run, in ms: the slope of the lower envelope, which is the least
 * lateness of each stretch, times the run's length.
 */
function driftOf(deadlines, stretches = 20) {
  const first = deadlines[0].ms;
  const length = deadlines.at(-1).ms - first;
  const least = new Map();
  for (const one of deadlines) {
    const stretch = Math.min(stretches - 1, Math.floor(((one.ms - first) / length) * stretches));
    const before = least.get(stretch);
    if (!before || one.residual < before.residual) least.set(stretch, one);
  }
  return slope([...least.values()].map((one) => [one.ms, one.residual])) * length;
}

/** The slope of the straight line that fits points best. */
export function slope(points) {
  const mean = (place) => points.reduce((sum, point) => sum + point[place], 0) / points.length;
  const [x, y] = [mean(0), mean(1)];
  const over = points.reduce((sum, point) => sum + (point[0] - x) * (point[1] - y), 0);
  return over / points.reduce((sum, point) => sum + (point[0] - x) ** 2, 0);
}
