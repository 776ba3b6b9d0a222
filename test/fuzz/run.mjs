// npm run fuzz -- chart --seconds 60 [--seed N]
// Mutates the demo charts and reads them: no exception, no file over 100 ms, every fault with a place inside the file.
import { readdirSync, readFileSync } from 'node:fs';
import { readChart } from '../../dist/chart/read.js';
import { unroll } from '../../dist/chart/unroll.js';
import { writeChart } from '../../dist/chart/write.js';

const words = process.argv.slice(2);
const option = (name, instead) => (words.includes(name) ? Number(words[words.indexOf(name) + 1]) : instead);
if (words[0] !== 'chart') {
  console.error('usage: npm run fuzz -- chart [--seconds 60] [--seed N]');
  process.exit(2);
}
const seconds = option('--seconds', 60);
const seed = option('--seed', Date.now() % 1_000_000);
const longestMs = 100;

let state = seed >>> 0;
const random = (below) => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return Math.floor((state / 2 ** 32) * below);
};
const folder = new URL('../../charts/', import.meta.url);
const seeds = readdirSync(folder)
  .filter((name) => name.endsWith('.yaml'))
  .map((name) => readFileSync(new URL(name, folder)));
const tokens = [
  '|:',
  ':|',
  'x3',
  '[1st ',
  '[2nd ',
  '[last ',
  ' ]',
  '(',
  ')',
  '~',
  '!',
  "'",
  '=',
  '@3/4 ',
  '@key+2 ',
  '@tempo=90 ',
  '"',
  ';',
  '^7',
  '-',
  '57 ',
  'b7 ',
  '#4o ',
  '/3',
  '...',
  'nc ',
  '\n',
  '\n\n',
  '  ',
  '\t',
  ': ',
  '- ',
  '|',
  '>',
  '&a ',
  '*a ',
  '!!str ',
  '#',
  '{',
  '}',
  '[',
  ',',
  '\u001b[2J',
  '\u0000',
  '\u2028',
  '𝄞',
  'é',
  '\r\n',
  'A ',
  'F#m ',
  'all of V',
  'last 4 of C',
  'form: V, C\n',
  'crooked: yes\n',
];

function mutate() {
  let bytes = Buffer.from(seeds[random(seeds.length)]);
  for (let count = 1 + random(6); count > 0; count -= 1) {
    const at = random(bytes.length + 1);
    const length = random(4) === 0 ? random(400) : random(8);
    const kind = random(6);
    const token = Buffer.from(tokens[random(tokens.length)]);
    if (kind === 0) bytes = Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + length)]);
    else if (kind === 1) bytes = Buffer.concat([bytes.subarray(0, at), token, bytes.subarray(at)]);
    else if (kind === 2 && bytes.length > 0) bytes[random(bytes.length)] = random(256);
    else if (kind === 3)
      bytes = Buffer.concat([
        bytes.subarray(0, at),
        bytes.subarray(random(bytes.length + 1), random(bytes.length + 1)),
        bytes.subarray(at),
      ]);
    else if (kind === 4)
      bytes = Buffer.concat([
        bytes.subarray(0, at),
        Buffer.concat(Array(1 + random(200)).fill(token)),
        bytes.subarray(at),
      ]);
    else
      bytes = Buffer.concat([
        bytes.subarray(0, at),
        seeds[random(seeds.length)].subarray(random(200), 200 + random(400)),
        bytes.subarray(at + length),
      ]);
  }
  return bytes;
}

function complain(what, bytes) {
  console.error(`${what}\nthe file, in base64: ${bytes.toString('base64')}`);
  process.exitCode = 1;
}

const end = Date.now() + seconds * 1000;
let files = 0;
let good = 0;
let slowest = 0;
while (Date.now() < end && process.exitCode !== 1) {
  const bytes = mutate();
  files += 1;
  const start = performance.now();
  try {
    const reading = readChart(bytes);
    const took = performance.now() - start;
    slowest = Math.max(slowest, took);
    if (took > longestMs) complain(`reading took ${took.toFixed(0)} ms`, bytes);
    const lines = new TextDecoder().decode(bytes).split('\n');
    for (const { line, column } of reading.faults) {
      const inside =
        line >= 1 && line <= lines.length && column >= 1 && column <= [...(lines[line - 1] ?? '')].length + 2;
      if (!inside) complain(`a fault at ${line}:${column}, outside the file`, bytes);
    }
    if (reading.ok) {
      good += 1;
      for (const final of [false, true])
        if (unroll(reading.value, { final }).fault)
          complain('a chart that reads well does not unroll', bytes);
      const again = readChart(Buffer.from(writeChart(reading.value)));
      if (!again.ok) complain(`what was written does not read: ${again.faults[0]?.message}`, bytes);
    }
  } catch (error) {
    complain(`an exception: ${error.stack}`, bytes);
  }
}
console.log(
  `${files} files (seed ${seed}), ${good} of them charts, slowest ${slowest.toFixed(1)} ms, ${process.exitCode === 1 ? 'a fault was found' : 'no fault found'}`,
);
