// What the build does so that the program starts soon: a few hundred modules, ours and others', become a few dozen files.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join, relative, sep } from 'node:path';
import { build } from 'esbuild';

/** What is run: the program, its thread and its processes that speak to nobody outside, by their places in src. */
const entries = ['main', 'ui/arrange-worker', 'player/process', 'ear/process'];

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

/** Packages that are no modules of the language load those of Node by `require`. */
const requireIn = `import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);`;

/**
 * Bundles from `root/src` into `root/dist/run`, and puts into the entries' places in `root/dist` what imports them from there.
 * Resolves when that is done; what is wrong with the sources is written to stderr and thrown.
 */
export async function bundle(root) {
  const [src, run] = [join(root, 'src'), join(root, 'dist/run')];
  const { metafile } = await build({
    absWorkingDir: root,
    entryPoints: Object.fromEntries(entries.map((entry) => [entry.replaceAll('/', '-'), join(src, entry)])),
    outdir: run,
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    external: apart,
    banner: { js: requireIn },
    define: { 'process.env.NODE_ENV': '"production"' },
    // It is set for react, which is loaded by itself.
    logOverride: { 'assign-to-define': 'silent' },
    sourcemap: true,
    sourcesContent: false,
    metafile: true,
    plugins: [{ name: 'places', setup: (to) => to.onLoad({ filter: /\.tsx?$/ }, placed(src)) }],
  });
  for (const entry of entries) {
    const up = '../'.repeat(entry.split('/').length - 1) || './';
    writeFileSync(join(root, 'dist', `${entry}.js`), `import '${up}run/${entry.replaceAll('/', '-')}.js';\n`);
  }
  writeFileSync(join(run, 'LICENSES'), licences(root, Object.keys(metafile.inputs)));
}

/** A module knows its place by `import.meta.url`: in a bundle, too, it is that of the module in dist, beside which other files are found. */
function placed(src) {
  return async ({ path }) => {
    if (!path.startsWith(src + sep)) return undefined;
    const place = relative(src, path)
      .split(sep)
      .join('/')
      .replace(/\.tsx?$/, '.js');
    const text = await readFile(path, 'utf8');
    if (/import\.meta\b(?!\.url\b)/.test(text))
      throw new Error(`${path}: of import.meta only url is known in a bundle`);
    return {
      contents: text.replaceAll('import.meta.url', `new URL('../${place}', import.meta.url).href`),
      loader: path.endsWith('x') ? 'tsx' : 'ts',
    };
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
