/*
 * Loaded into the interface's process by NODE_OPTIONS: how long each turn of its event loop keeps the loop.
 *
 * A turn is all that runs from one wait for timers, input and messages to the next, and the loop's own count of the time it
 * has waited tells what of the time between two looks was not waiting. The look itself is an immediate that does not keep the
 * loop awake: it is called in every turn, right after the wait, whatever woke the loop, and never wakes it. Processor time
 * that others took away in the middle of a turn is in the figure, as keys have to wait for that too.
 *
 * A timer that is due every millisecond (monitorEventLoopDelay) answers another question. Its own lateness is in every figure,
 * it wakes the loop a thousand times a second, and of its thousand samples a second four see a beat being drawn, so that
 * their p99 says nothing about drawing.
 *
 * What timers do before a wait and what input does after it come between the same two looks, and are added up: a figure is
 * never less than the longest block that is in it.
 */
import { writeFileSync } from 'node:fs';
import { performance } from 'node:perf_hooks';
import { isMainThread } from 'node:worker_threads';

const file = process.env.BARKLINE_BLOCKS;
// The player inherits NODE_OPTIONS, and threads load this again.
if (file && isMainThread && process.argv[1]?.endsWith('main.js')) {
  const turns = [];
  let active = 0;
  const look = () => {
    const now = performance.eventLoopUtilization().active;
    turns.push(process.hrtime.bigint(), now - active);
    active = now;
    setImmediate(look).unref();
  };
  setImmediate(look).unref();
  process.on('exit', () => {
    const lines = [];
    for (let at = 0; at < turns.length; at += 2) lines.push(`${turns[at]} ${turns[at + 1].toFixed(4)}`);
    writeFileSync(file, lines.join('\n'));
  });
}
