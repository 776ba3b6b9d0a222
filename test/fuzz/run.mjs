// npm run fuzz -- [chart | abc | musicxml | letters | set | wav | tune | band] [--seconds 60] [--seed N] [--quick]
// Mutates files and reads them: no exception, no file over a stated CPU time, and whatever is handed out reads again.
// Without a kind each has its turn; --quick gives each five seconds, and tries the same files each time: a check of a change says something of the change.
import { kinds } from './kinds.mjs';
import { chance, mutate } from './mutate.mjs';

const words = process.argv.slice(2);
const quick = words.includes('--quick');
const option = (name, instead) => (words.includes(name) ? Number(words[words.indexOf(name) + 1]) : instead);
const asked = words[0] === undefined || words[0].startsWith('--') ? Object.keys(kinds) : [words[0]];
const seconds = option('--seconds', quick ? 5 : 60);
const seed = option('--seed', quick ? 1 : Date.now() % 1_000_000);
if (!asked.every((name) => name in kinds) || !(seconds > 0)) {
  console.error(
    `usage: npm run fuzz -- [${Object.keys(kinds).join(' | ')}] [--seconds 60] [--seed N] [--quick]`,
  );
  process.exit(2);
}

/** Tries a file; answers whether it was good, and the CPU time it took, ms. */
function timed(kind, bytes, number) {
  const before = process.cpuUsage();
  const good = kind.attempt(bytes, chance(number));
  const { user, system } = process.cpuUsage(before);
  return { good, ms: (user + system) / 1000 };
}

/** The CPU time that a file may take, ms: its kind's up to 32 KiB, beyond that in proportion, so that what grows faster shows. */
function limitOf({ longestMs }, bytes) {
  return longestMs * Math.max(1, bytes.length / 32_768);
}

/** Of several tries the fastest: what the machine does beside it is not the file's fault. */
function fastest(kind, bytes, number, first) {
  const longestMs = limitOf(kind, bytes);
  let ms = first;
  for (let again = 0; again < 3 && ms > longestMs; again += 1)
    ms = Math.min(ms, timed(kind, bytes, number).ms);
  return ms;
}

function fuzz(name) {
  const kind = kinds[name];
  const random = chance(seed);
  const end = Date.now() + seconds * 1000;
  let files = 0;
  let good = 0;
  let slowest = 0;
  for (; Date.now() < end; files += 1) {
    const bytes = (kind.change ?? mutate)(kind.seeds, kind.tokens, random);
    try {
      const tried = timed(kind, bytes, files);
      if (tried.good) good += 1;
      const ms = fastest(kind, bytes, files, tried.ms);
      slowest = Math.max(slowest, ms);
      const longestMs = limitOf(kind, bytes);
      if (ms > longestMs)
        throw new Error(`${bytes.length} bytes took ${ms.toFixed(0)} ms; at most ${longestMs.toFixed(0)}`);
    } catch (error) {
      console.error(`${name}, seed ${seed}, file ${files}: ${error.stack}`);
      console.error(`the file, in base64: ${bytes.toString('base64').slice(0, 100_000)}`);
      process.exitCode = 1;
      return;
    }
  }
  // Where none is good, what must hold of good ones was never asked.
  if (good === 0) {
    console.error(`${name}: of ${files} files (seed ${seed}) none was good`);
    process.exit(1);
  }
  console.log(
    `${name}: ${files} files (seed ${seed}), ${good} good, slowest ${slowest.toFixed(1)} ms, no fault found`,
  );
}

for (const name of asked) fuzz(name);
