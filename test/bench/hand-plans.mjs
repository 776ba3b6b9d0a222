// The plans that the bench of the hand times, with one build of the program: node hand-plans.mjs DIST BARS HOLD VOICINGS ROUNDS
// prints as JSON how long the first plan and the median of the others took, ms, and the most memory of the process, MiB.
import { resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { median } from './figures.mjs';

// Twelve different chords, many of them a bar from the other: more entangled than any song.
const numbers = ['1', '4', '5', '6-', '2-', '2^7', 'b7', '3-', '5^7', '1^7', '4-', '6^7'];

/** The chord changes of a chart in one section, or in several of as many bars, whose chords are drawn at random. */
export async function plansOf(dist) {
  const load = (file) => import(pathToFileURL(resolve(dist, file)).href);
  const { readChart } = await load('chart/read.js');
  const { unroll } = await load('chart/unroll.js');
  const { changesOf } = await load('hand/changes.js');
  const { mandolin } = await load('hand/instrument.js');
  const { planHand } = await load('hand/plan.js');
  return {
    changesIn(bars, { key = 'A', sections = 1, chords = numbers.length } = {}) {
      let state = 7;
      const text = [`title: T`, `key: ${key}`, 'sections:'];
      for (let section = 0; section < sections; section += 1) {
        text.push(`  ${'ABCDEFGH'[section]}: |`);
        for (let bar = 0; bar < bars / sections; bar += 4) {
          const line = Array.from({ length: 4 }, () => {
            state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
            return numbers[Math.floor((state / 2 ** 32) * chords)];
          });
          text.push(`    ${line.join(' ')}`);
        }
      }
      const reading = readChart(Buffer.from(`${text.join('\n')}\n`));
      if (!reading.ok) throw new Error('the chart does not read');
      return changesOf(unroll(reading.value).bars);
    },
    plan: (changes, options) => planHand(changes, mandolin, options),
  };
}

/** The time of one call, ms. */
export function once(call) {
  const start = performance.now();
  call();
  return performance.now() - start;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [dist, bars, sections, hold, voicings, rounds] = process.argv.slice(2);
  const { changesIn, plan } = await plansOf(dist);
  const one = Number(sections) === 1;
  const changes = changesIn(Number(bars), { sections: Number(sections), chords: one ? numbers.length : 6 });
  const call = () => plan(changes, { hold, voicings });
  const first = once(call);
  // It takes as many again until the engine has compiled what is hot.
  for (let index = 0; index < Number(rounds); index += 1) call();
  const others = Array.from({ length: Number(rounds) }, () => once(call));
  const memory = process.resourceUsage().maxRSS / 1024;
  console.log(JSON.stringify({ changes: changes.length, first, warm: median(others), memory }));
}
