// What may import what in src, and whether it does. Pure: from the texts of files to sentences.
import { dirname, join, normalize } from 'node:path';

/** What each part of src may import beside itself: parts, single files or folders of parts, and packages. */
export const allowed = {
  base: ['fastest-levenshtein', 'string-width'],
  theory: ['base', '@tonaljs/note'],
  chart: ['base', 'theory', 'yaml'],
  hand: ['base', 'theory', 'chart'],
  time: ['base', 'theory', 'chart', 'hand'],
  playback: ['base', 'theory', 'chart', 'hand', 'time', 'player/client', 'player/messages'],
  setlist: ['base', 'theory', 'chart', 'hand', 'time', 'playback'],
  listen: ['base', 'theory', 'chart', 'hand', 'time', 'playback', 'player/messages', 'fft.js'],
  shed: ['base', 'theory', 'chart', 'hand', 'time', 'listen', 'playback', 'ts-fsrs'],
  exchange: ['base', 'theory', 'chart', 'hand', 'time', 'playback', 'midi-file', 'saxes', 'fflate', 'pdfkit'],
  config: [
    'base',
    'chart',
    'hand',
    'time',
    'playback/pedals',
    'listen/limits',
    'ear/messages',
    'ear/spec',
    'player/out-spec',
    'player/out-settings',
    'player/messages',
    'node:',
    'env-paths',
    'valibot',
  ],
  player: ['base', 'time/segment', 'time/event', 'time/units', 'node:'],
  ear: [
    'base',
    'listen',
    'config/regular',
    'config/why-not',
    'player/answering',
    'player/host',
    'player/outputs/raw-kind',
    'player/parent-watch',
    'player/synth',
    'node:',
  ],
  band: ['base', 'theory', 'chart', 'hand', 'time', 'playback', 'setlist', 'valibot'],
  link: [
    'base',
    'band/link',
    'config/regular',
    'player/answering',
    'player/host',
    'player/parent-watch',
    'node:',
    'aedes',
    'mqtt',
    'bonjour-service',
  ],
  ui: [
    'base',
    'theory',
    'chart',
    'hand',
    'time',
    'playback',
    'setlist',
    'shed',
    'listen',
    'band',
    'link/meeting-types',
    'ear/client',
    'ear/messages',
    'player/client',
    'player/messages',
    'player/host',
    'player/lateness',
    'react',
    'ink',
    'ink-select-input',
    'string-width',
    'valibot',
  ],
  commands: [
    'base',
    'theory',
    'chart',
    'hand',
    'time',
    'playback',
    'setlist',
    'shed',
    'exchange',
    'config',
    'player',
    'listen',
    'ear',
    'band',
    'link',
    'ui',
    '@commander-js/extra-typings',
    'node:',
  ],
  'start.ts': ['base/node-version', 'main'],
  'main.ts': ['commands', '@commander-js/extra-typings', 'node:'],
};

/** The rim: the only files of parts that are otherwise pure which may touch the machine. */
export const rim = [
  'ui/open.tsx',
  'ui/terminal.ts',
  'ui/tty-writer.ts',
  'ui/job-control.ts',
  'ui/screen-writer.ts',
  'ui/key-reader.ts',
  'ui/arranger.ts',
  'ui/arrange-worker.ts',
];

/** Folders within ui that know nothing of each other: from the first no file may import one of the others. */
const apart = [
  ['ui/draw', 'ui/update', 'ui/screens'],
  ['ui/update', 'ui/draw', 'ui/screens'],
  ['ui/state', 'ui/update', 'ui/draw', 'ui/screens'],
  ['ui/keys', 'ui/update', 'ui/draw', 'ui/screens'],
];

const importPattern =
  /(?:^|\n)\s*(?:import|export)\s[^'";]*?from\s*'([^']+)'|import\(\s*'([^']+)'\s*\)|(?:^|\n)\s*import\s*'([^']+)'/g;

/** The imports of a file: what is named, and for files of src which file that is, without its extension. */
export function importsOf(name, text) {
  return [...text.matchAll(importPattern)].map((match) => {
    const specifier = match[1] ?? match[2] ?? match[3];
    return specifier.startsWith('.')
      ? { own: true, target: normalize(join(dirname(name), specifier)).replace(/\.jsx?$/, '') }
      : { own: false, target: specifier };
  });
}

/** Every fault of a tree of files, from their names (below src) to their texts. */
export function importFaults(files) {
  return [...wrongWays(files), ...modesOfModes(files), ...circles(files)];
}

function wrongWays(files) {
  const faults = [];
  for (const [name, text] of files) {
    const part = name.includes('/') ? name.split('/')[0] : name;
    const rules = allowed[part];
    if (!rules) {
      faults.push(`${name}: the part “${part}” is not in the list of parts`);
      continue;
    }
    for (const { own, target } of importsOf(name, text)) {
      const inside = (folder) => target === folder || target.startsWith(`${folder}/`);
      const barred = apart.find(
        ([from, ...others]) => own && name.startsWith(`${from}/`) && others.some(inside),
      );
      if (barred) faults.push(`src/${name} may not import ${target}: ${barred[0]} knows nothing of it`);
      if (own && target.split('/')[0] === part) continue;
      const fits = rules.some((rule) => (rule.endsWith(':') ? target.startsWith(rule) : inside(rule)));
      if (!fits && !(target.startsWith('node:') && rim.includes(name)))
        faults.push(`src/${name} may not import ${target}`);
    }
  }
  return faults;
}

/** A mode is a file or a folder of `ui/update/modes`; none may import another. */
function modesOfModes(files) {
  const modes = 'ui/update/modes/';
  const modeOf = (name) =>
    name.startsWith(modes)
      ? name
          .slice(modes.length)
          .split('/')[0]
          .replace(/\.tsx?$/, '')
      : null;
  return [...files].flatMap(([name, text]) =>
    importsOf(name, text).flatMap(({ own, target }) => {
      const [from, to] = [modeOf(name), own ? modeOf(target) : null];
      return from !== null && to !== null && from !== to
        ? [`src/${name} may not import ${target}: modes never import modes`]
        : [];
    }),
  );
}

/** The circles of files that import each other, the shortest names first; each is told once. */
function circles(files) {
  const graph = graphOf(files);
  const faults = [];
  const state = new Map();
  const path = [];
  const visit = (name) => {
    state.set(name, 'open');
    path.push(name);
    for (const target of graph.get(name) ?? []) {
      if (state.get(target) === 'open')
        faults.push(`a circle: ${[...path.slice(path.indexOf(target)), target].join(' → ')}`);
      else if (!state.has(target)) visit(target);
    }
    path.pop();
    state.set(name, 'done');
  };
  for (const name of [...graph.keys()].sort()) if (!state.has(name)) visit(name);
  return faults;
}

/** Which files of src each file imports, by their names. */
export function graphOf(files) {
  const byStem = new Map([...files.keys()].map((name) => [name.replace(/\.tsx?$/, ''), name]));
  return new Map(
    [...files].map(([name, text]) => [
      name,
      [
        ...new Set(
          importsOf(name, text).flatMap(({ own, target }) =>
            own && byStem.has(target) ? [byStem.get(target)] : [],
          ),
        ),
      ],
    ]),
  );
}
