// How soon the program is there: the stand beside the least program on Ink, and the commands that print beside a Node that does nothing.
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { median } from './figures.mjs';
import { pause, Running } from './stand-terminal.mjs';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const program = here('../../dist/start.js');
const chart = here('../../charts/weir-hands.yaml');
const one = 'charts/weir-hands.yaml';
/** A picture of the stand is whole when its title, in the first line, and the end of its foot line, the last, have been written. */
const wholeFrame = ['Weir Hands', ' leave'];
const goal = { line: 1.3, beyondNode: 90 };

/** Commands that print, but for help, which opens a pager on a terminal; what they do beside reading the chart and writing an answer is little. */
const prints = (folder) => ({
  '--version': ['--version'],
  '--help': ['--help'],
  [`show ${one}`]: ['show', chart],
  [`check ${one}`]: ['check', chart],
  [`plan ${one}`]: ['plan', chart],
  'key A': ['key', 'A'],
  'shapes A D7': ['shapes', 'A', 'D7'],
  diary: ['diary'],
  'completion bash': ['completion', 'bash'],
  ...Object.fromEntries(
    ['text', 'midi', 'abc', 'musicxml'].map((to) => [`export ${one} --to ${to}`, exported(folder, to)]),
  ),
});

/** Two that have more to do than start: one asks the machine in processes of their own, one draws with a large library. */
const longer = (folder) => ({ ports: ['ports'], [`export ${one} --to pdf`]: exported(folder, 'pdf') });

const exported = (folder, to) => ['export', chart, '--to', to, '-o', join(folder, `out.${to}`), '--force'];

/** Starts all of them by turns, so many rounds, and where figures count once before: files are read from the disk then. */
export async function benchStart({ folder, rounds }) {
  const measured = [
    {
      what: 'an Ink program of one line, to its text',
      words: [here('./stand-line.mjs')],
      shows: ['one line'],
    },
    {
      what: 'the same, bundled as this program is',
      words: [await bundledLine(folder)],
      shows: ['one line'],
    },
    {
      what: 'the stand, to its first whole picture',
      words: [program, 'play', chart, '--out', 'none'],
      shows: wholeFrame,
    },
    {
      what: 'the stand, to the picture with the planned hand',
      words: [program, 'play', chart, '--out', 'none'],
      shows: ['ready'],
    },
    { what: 'Node with nothing to do, to its end', words: ['-e', '0'] },
    ...[prints, longer].flatMap((some) =>
      Object.entries(some(folder)).map(([what, words]) => ({
        what,
        words: [program, ...words],
        counts: some === prints,
      })),
    ),
  ].map((started) => ({ ...started, times: [] }));
  for (let round = rounds > 1 ? 0 : 1; round <= rounds; round += 1) {
    for (const { words, shows, times } of measured) {
      const time = await startOnce(folder, words, shows);
      if (round > 0) times.push(time);
    }
  }
  const [line, bundled, stand, , bare] = measured.map(({ times }) => median(times));
  const goalOf = ({ what, counts }, time) => {
    if (what === measured[2].what)
      return { goal: `at most ${goal.line} times the line`, met: time <= goal.line * line ? 'yes' : 'no' };
    if (!counts) return {};
    return {
      goal: `at most ${goal.beyondNode} ms beyond Node`,
      met: time - bare <= goal.beyondNode ? 'yes' : 'no',
    };
  };
  console.log(
    `\nFrom the start: medians of ${rounds}, by turns, all on the same terminal; with them the quickest and the slowest`,
  );
  console.table(
    measured.map((started) => {
      const { what, times, shows } = started;
      const time = median(times);
      return {
        what,
        ms: time.toFixed(0),
        from: Math.min(...times).toFixed(0),
        to: Math.max(...times).toFixed(0),
        'beyond Node': shows ? '' : (time - bare).toFixed(0),
        'of the line': shows ? (time / line).toFixed(2) : '',
        'of the bundled line': shows ? (time / bundled).toFixed(2) : '',
        ...goalOf(started, time),
      };
    }),
  );
  return {
    ...Object.fromEntries(measured.map(({ what, times }) => [what, median(times)])),
    'the stand beside the line': stand / line,
    'the stand beside the bundled line': stand / bundled,
  };
}

/** The program of one line in one file, as little as can be had to load. */
async function bundledLine(folder) {
  const outdir = join(folder, 'line');
  await build({
    entryPoints: [here('./stand-line.mjs')],
    outdir,
    outExtension: { '.js': '.mjs' },
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    mainFields: ['module', 'main'],
    external: ['react-devtools-core'],
    banner: {
      js: "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);",
    },
    define: { 'process.env.NODE_ENV': '"production"' },
    logOverride: { 'assign-to-define': 'silent' },
  });
  return join(outdir, 'stand-line.mjs');
}

/** Starts a program once; answers how long it took to show something, or to end, ms. */
async function startOnce(folder, words, shows) {
  const run = new Running(folder, [process.execPath, ...words]);
  try {
    if (shows) return Number((await run.shows(...shows)) - run.started) / 1e6;
    await run.gone;
    if (run.status !== 0) throw new Error(`${words.join(' ')} ended with ${run.status}`);
    return Number(run.ended - run.started) / 1e6;
  } finally {
    // Ctrl-C, which leaves the stand and ends the line.
    await run.leave('\u0003');
    if (shows) await pause(200);
  }
}
