// Checks that imports run one way (see DEVELOPERS.md). Prints every one that does not; exits 1 if any.
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../../src', import.meta.url));

/** What each part of src may import beside itself: parts, single files of parts, and packages. */
const allowed = {
  base: ['fastest-levenshtein'],
  theory: ['base', 'tonal'],
  chart: ['base', 'theory', 'yaml'],
  hand: ['base', 'theory', 'chart'],
  time: ['base', 'theory', 'chart', 'hand'],
  setlist: ['base', 'theory', 'chart', 'hand', 'time'],
  shed: ['base', 'theory', 'chart', 'hand', 'time', 'ts-fsrs'],
  exchange: ['base', 'theory', 'chart', 'hand', 'time', 'midi-file', 'saxes', 'fflate', 'pdfkit'],
  config: [
    'base',
    'chart',
    'hand',
    'time',
    'player/out-spec',
    'player/out-settings',
    'player/messages',
    'player/pedals',
    'node:',
    'env-paths',
    'valibot',
  ],
  player: ['base', 'time/segment', 'time/event', 'time/units', 'node:'],
  ui: [
    'base',
    'theory',
    'chart',
    'hand',
    'time',
    'setlist',
    'shed',
    'player/client',
    'player/messages',
    'player/host',
    'player/lateness',
    'player/pedals',
    'react',
    'ink',
    'ink-select-input',
    'string-width',
  ],
  commands: [
    'base',
    'theory',
    'chart',
    'hand',
    'time',
    'setlist',
    'shed',
    'exchange',
    'config',
    'player',
    'ui',
    'node:',
  ],
  'start.ts': ['base/node-version', 'main'],
  'main.ts': ['commands', 'chart/notation', 'commander', 'node:'],
};

/** The rim of ui: the only files of it that may touch the machine. */
const uiRim = [
  'ui/open.tsx',
  'ui/terminal.ts',
  'ui/tty-writer.ts',
  'ui/job-control.ts',
  'ui/screen-writer.ts',
  'ui/key-reader.ts',
  'ui/arranger.ts',
  'ui/arrange-worker.ts',
];

const importPattern =
  /(?:^|\n)\s*(?:import|export)\s[^'";]*?from\s*'([^']+)'|import\(\s*'([^']+)'\s*\)|(?:^|\n)\s*import\s*'([^']+)'/g;

const files = readdirSync(root, { recursive: true })
  .filter((name) => /\.tsx?$/.test(name))
  .sort();
const faults = [];
let count = 0;
for (const name of files) {
  const part = name.includes('/') ? name.split('/')[0] : name;
  const rules = allowed[part];
  if (!rules) {
    faults.push(`${name}: the part “${part}” is not in the list of parts`);
    continue;
  }
  for (const match of readFileSync(join(root, name), 'utf8').matchAll(importPattern)) {
    const specifier = match[1] ?? match[2] ?? match[3];
    count += 1;
    const target = specifier.startsWith('.')
      ? relative(root, join(root, dirname(name), specifier)).replace(/\.jsx?$/, '')
      : specifier;
    if (specifier.startsWith('.') && target.split('/')[0] === part) continue;
    const fits = rules.some(
      (rule) => target === rule || target.startsWith(rule.endsWith(':') ? rule : `${rule}/`),
    );
    const rim = target.startsWith('node:') && uiRim.includes(name);
    if (!fits && !rim) faults.push(`src/${name} may not import ${target}`);
  }
}
for (const fault of faults) console.error(fault);
console.log(`${files.length} files, ${count} imports, ${faults.length} that run the wrong way`);
process.exit(faults.length === 0 && count > 0 ? 0 : 1);
