// What the build does so that the program starts soon: a few hundred modules, ours and others', become a few dozen files.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join, posix, relative, sep } from 'node:path';
import { build } from 'esbuild';

/** What is run, by its place in src: the program, and, each in a file of its own, its thread and the processes that speak to nobody outside. */
const entries = [['main'], ['ui/arrange-worker'], ['player/process'], ['ear/process']];

/**
 * What stays a package of its own: it reads files beside it (pdfkit), is wanted rarely and large (the band's), is never there
 * (react-devtools-core), or has to be the same for all that uses it (react).
 */
const apart = [
  'react',
  'react/jsx-runtime',
  'react-devtools-core',
  'pdfkit',
  'mqtt',
  'aedes',
  'bonjour-service',
];

/**
 * What is in one file although the sources import it piece by piece: finding and opening a file costs more than reading what is not
 * called. A name for each such file, and the modules that are in it with all that they import, by their places in src. `core` is what
 * most commands want, so whatever else is imported when it is wanted has it loaded first: without that a module would
 * stand in a file with those alone that are wanted by exactly the same commands.
 */
const together = {
  declarations: /^commands\/(help\/)?[\w-]+\.command$/,
  core: /^commands\/(show-file|show-set|check|key|load|plan|shapes)$/,
  exports: /^(commands\/export|exchange\/write-(text|midi|lead-sheet))$/,
};

/** Packages whose one function is seldom called, and which are long in making what it needs. */
const seldom = ['string-width'];

/** What is imported when it is wanted, but wants little of the core. */
const coreless = [
  'main',
  'declarations',
  'commands/completion/scripts',
  'commands/completion/answer',
  'commands/help/help',
];

/** Packages that are no modules of the language load those of Node by `require`. */
const requireIn = `import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);`;

/**
 * Bundles from `root/src` into `root/dist/run`, and puts into the entries' places in `root/dist` what imports them from there.
 * Resolves when that is done; what is wrong with the sources is written to stderr and thrown.
 */
export async function bundle(root) {
  const run = join(root, 'dist/run');
  const used = await Promise.all(entries.map((entry) => bundled(root, run, entry)));
  for (const entry of entries.flat()) {
    const up = '../'.repeat(entry.split('/').length - 1) || './';
    writeFileSync(join(root, 'dist', `${entry}.js`), `import '${up}run/${entry.replaceAll('/', '-')}.js';\n`);
  }
  writeFileSync(join(run, 'LICENSES'), licences(root, used.flat()));
}

/** Bundles some of the entries, which share files; answers the files that are in them. */
async function bundled(root, run, entries) {
  const src = join(root, 'src');
  const known = modulesOf(src);
  const { metafile } = await build({
    absWorkingDir: root,
    entryPoints: Object.fromEntries(entries.map((entry) => [entry.replaceAll('/', '-'), join(src, entry)])),
    outdir: run,
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    mainFields: ['module', 'main'],
    target: 'node20',
    external: apart,
    banner: { js: requireIn },
    define: { 'process.env.NODE_ENV': '"production"' },
    // It is set for react, which is loaded by itself.
    logOverride: { 'assign-to-define': 'silent' },
    sourcemap: true,
    sourcesContent: false,
    metafile: true,
    plugins: [
      { name: 'later', setup: later(src) },
      { name: 'together', setup: gathered(src, known) },
      { name: 'places', setup: (to) => to.onLoad({ filter: /\.tsx?$/ }, placed(src, known)) },
    ],
  });

  return Object.keys(metafile.inputs);
}

/** The modules of src, by their places, and of those the ones that others import only when they are wanted. */
function modulesOf(src) {
  const files = readdirSync(src, { recursive: true }).filter((file) => /\.tsx?$/.test(file));
  const modules = files.map((file) => placeOf(file));
  const wanted = files.flatMap((file) =>
    [...readFileSync(join(src, file), 'utf8').matchAll(whenWanted)].map(([, path]) =>
      resolved(placeOf(file), path),
    ),
  );
  const imports = new Map(
    files.map((file) => [
      placeOf(file),
      [...readFileSync(join(src, file), 'utf8').matchAll(whenLoaded)].map(([, path]) =>
        resolved(placeOf(file), path),
      ),
    ]),
  );
  const inCore = reached(
    modules.filter((module) => fileOf(module) === 'core'),
    imports,
  );
  return { modules, wanted: new Set(wanted), inCore };
}

/** Modules with all that they import, and that those import in turn. */
function reached(modules, imports) {
  const all = new Set(modules);
  // A set goes on through what is added to it meanwhile.
  for (const module of all) for (const one of imports.get(module) ?? []) all.add(one);
  return all;
}

/** Imports and exports from a module of ours, but for types alone, which no bundle has. */
const whenLoaded = /^(?:import|export)\s+(?!type\b)(?:[^'";]*?\sfrom\s+)?'(\.[^']+)\.js'/gm;
const whenWanted = /(?<!typeof )\bimport\('(\.[^']+)\.js'\)/g;
const placeOf = (file) =>
  file
    .split(sep)
    .join('/')
    .replace(/\.tsx?$/, '');
const resolved = (place, path) => posix.join(posix.dirname(place), path);
/** The name of the file that a module stands in together with others; undefined for the rest. */
const fileOf = (module) => Object.keys(together).find((name) => together[name].test(module));

/** What has the core loaded before a module or a file of several. */
const coreFor = (name) => (coreless.includes(name) ? '' : `import 'together:core'; `);

/**
 * The text of a module as it is bundled. It knows its place by `import.meta.url`: in a bundle, too, that is the place of the module in
 * dist, beside which other files are found. What it imports when it is wanted comes from the file that has it together with others.
 */
function placed(src, { wanted, inCore }) {
  return async ({ path }) => {
    if (!path.startsWith(src + sep)) return undefined;
    const place = placeOf(relative(src, path));
    const text = await readFile(path, 'utf8');
    if (/import\.meta\b(?!\.url\b)/.test(text))
      throw new Error(`${path}: of import.meta only url is known in a bundle`);
    // What the core itself has cannot wait for it.
    const first = wanted.has(place) && !fileOf(place) && !inCore.has(place) ? coreFor(place) : '';
    const contents = text
      .replaceAll('import.meta.url', `new URL('../${place}.js', import.meta.url).href`)
      .replaceAll(whenWanted, (written, path) => {
        const module = resolved(place, path);
        const name = fileOf(module);
        return name ? `import('together:${name}').then((all) => all['${module}'])` : written;
      });
    return { contents: first + contents, loader: path.endsWith('x') ? 'tsx' : 'ts' };
  };
}

/** Has what is seldom wanted made when our modules first call it. */
function later(src) {
  return (to) => {
    to.onResolve({ filter: new RegExp(`^(${seldom.join('|')})$`) }, ({ path, importer, namespace }) =>
      namespace === 'file' && importer.startsWith(src + sep) ? { path, namespace: 'later' } : undefined,
    );
    // What is required, rather than imported, is made when it is reached.
    to.onLoad({ filter: /.*/, namespace: 'later' }, ({ path }) => ({
      contents: `export default (...given) => require('${path}').default(...given);`,
      resolveDir: src,
    }));
  };
}

/** Makes the files in which modules stand together. */
function gathered(src, { modules }) {
  return (to) => {
    to.onResolve({ filter: /^together:/ }, ({ path }) => ({ path, namespace: 'together' }));
    to.onLoad({ filter: /.*/, namespace: 'together' }, ({ path }) => ({
      contents: [
        path === 'together:core' ? '' : coreFor(path.replace('together:', '')),
        ...modules
          .filter((module) => `together:${fileOf(module)}` === path)
          .map((module) => `export * as '${module}' from './${module}.js';`),
      ].join('\n'),
      resolveDir: src,
      loader: 'ts',
    }));
  };
}

/** The licences of the packages that files are from, which ask to go with them. Throws when one has none. */
function licences(root, files) {
  const folders = files.flatMap((file) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(file)?.[0] ?? []);
  const told = [...new Set(folders)].map((folder) => licenceOf(join(root, folder)));
  if (told.length === 0) throw new Error('no package is in the bundle');
  return `${told.sort().join('\n\n----------\n\n')}\n`;
}

function licenceOf(folder) {
  const { name, license, author } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
  const file = readdirSync(folder).find((one) => /^licen[cs]e/i.test(one));
  if (file) return `${name}\n\n${readFileSync(join(folder, file), 'utf8').trim()}`;
  if (!license) throw new Error(`${name} has no licence`);
  return `${name}\n\n${license}, ${typeof author === 'string' ? author : (author?.name ?? 'its authors')}`;
}
