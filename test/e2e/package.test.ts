import { chmodSync, cpSync, existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Terminal } from '../attack/terminal.js';
import { cleanEnv, freshFolder, hanging, noteOns, PipeReader, root, until } from './harness.js';
import {
  asOrdinary,
  type Ended,
  installTarball,
  nodeOf,
  npm,
  ordinaryFolder,
  runs,
  sourceFiles,
  type Tarball,
  whereIs,
  writable,
} from './installed.js';

/*
 * What a stranger has: the tarball, installed globally where nothing can be compiled, run by its name from an empty folder
 * by an ordinary user who may not write to where it is installed, on each Node that the registry has.
 */

const folder = freshFolder();
chmodSync(folder.path, 0o755);
const prefix = join(folder.path, 'prefix');
const installed = join(prefix, 'lib/node_modules/barkline');
const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { version: string };
/** The most the tarball may unpack to, bytes. */
const mostUnpacked = 20e6;
let packed: Tarball['packed'];
let installation: Ended;

beforeAll(async () => {
  ({ packed, installation } = await installTarball(folder.path));
});
afterAll(() => {
  writable(prefix);
  folder.remove();
});

describe('the tarball', () => {
  it('has charts, the reference and the pages of the help, the fonts of paper with their licence, and nothing of the tests', () => {
    const paths = packed.files.map(({ path }) => path);
    const below = (folder: string): string[] =>
      readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => relative(root, join(entry.parentPath, entry.name)));
    const pages = below('src/commands/help/pages').map((name) => name.replace('src/', 'dist/'));
    expect(pages).toContain('dist/commands/help/pages/stand.md');
    expect(paths).toEqual(
      expect.arrayContaining([
        ...below('charts'),
        ...pages,
        'LICENSE',
        'README.md',
        'dist/start.js',
        'dist/fonts/DejaVuSans.ttf',
        'dist/fonts/DejaVuSans-Bold.ttf',
        'dist/fonts/LICENSE',
      ]),
    );
    expect(
      paths.filter((path) => !/^(dist|charts)\/|^(LICENSE|README\.md|package\.json)$/.test(path)),
    ).toEqual([]);
  });

  it('unpacks to 20 MB at most', () => {
    expect(packed.unpackedSize).toBeLessThan(mostUnpacked);
  });

  it('installs without a compiler, and without the fonts that it has with it', () => {
    expect(installation).toMatchObject({ status: 0 });
    expect(existsSync(join(installed, 'node_modules/midi'))).toBe(false);
    expect(existsSync(join(installed, 'node_modules/dejavu-fonts-ttf'))).toBe(false);
  });
});

describe.each([20, 22, 24])('installed, on Node %i', (major) => {
  let home = '';
  let node = '';
  let why = '';
  let env: NodeJS.ProcessEnv = {};
  const charts = join(installed, 'charts');
  const chart = join(charts, 'tollhouse-kettle.yaml');

  beforeAll(async () => {
    const found = await nodeOf(major, join(folder.path, `node${major}`));
    if ('why' in found) {
      why = found.why;
      console.log(`not tried: Node ${major}, which could not be installed (${why})`);
      return;
    }
    node = found.node;
    home = ordinaryFolder(join(folder.path, `home${major}`));
    const { PATH: _, NODE_OPTIONS: __, ...others } = cleanEnv(home, { HOME: home });
    env = { ...others, PATH: `${prefix}/bin:${dirname(node)}:/usr/bin:/bin` };
  });

  /** The program by its name, as an ordinary user, in a folder where there is nothing else. */
  const command = (...words: string[]): [string, string[]] => {
    const [first = '', ...more] = [...asOrdinary, 'barkline', ...words];
    return [first, more];
  };
  const call = (...words: string[]): Promise<Ended> => runs(...command(...words), { cwd: home, env });
  const tried = (name: string, test: () => Promise<void>): void => {
    it(name, async ({ skip }) => {
      if (why !== '') skip();
      await test();
    });
  };

  tried('is found by its name, and says which it is and what it can do', async () => {
    const told = await runs(asOrdinary[0] as string, [...asOrdinary.slice(1), 'node', '--version'], { env });
    expect(told.out).toMatch(new RegExp(`^v${major}\\.`));
    expect(await call('--version')).toEqual({ out: `${version}\n`, err: '', status: 0 });
    const help = await call('--help');
    expect(help).toMatchObject({ err: '', status: 0 });
    for (const name of ['play', 'check', 'export', 'shed', 'ports', 'lead'])
      expect(help.out).toContain(`  ${name} `);
    // Pages that are files beside the program, made from it, and beside the charts.
    for (const [topic, says] of [
      ['stand', 'THE STAND\n'],
      ['keys', 'share-up'],
      ['notation', 'WRITING CHARTS\n'],
    ] as const) {
      const page = await call('help', topic);
      expect(page).toMatchObject({ err: '', status: 0 });
      expect(page.out).toContain(says);
    }
  });

  tried('has its demo charts, reads them, and prints them with its fonts', async () => {
    const files = readdirSync(charts).filter((name) => name.endsWith('.yaml'));
    expect(files.length).toBeGreaterThan(5);
    const checked = await call('check', ...files.map((name) => join(charts, name)));
    expect(checked).toMatchObject({ err: '', status: 0 });
    const made = await call('export', chart, '--to', 'pdf', '-o', 'sheet.pdf');
    expect(made.status).toBe(0);
    const pdf = readFileSync(join(home, 'sheet.pdf'), 'latin1');
    expect(pdf.startsWith('%PDF-')).toBe(true);
    expect(pdf).toMatch(/DejaVuSans-Bold/);
  });

  tried(
    'reaches MIDI ports through the package that needs no compiler, and asks the ear for microphones',
    async () => {
      const told = await call('ports', '--json');
      expect(told.status).toBe(0);
      const { library, midi, microphones } = JSON.parse(told.out);
      expect(library).toBe('@julusian/midi');
      expect(midi ?? '').not.toContain('npm install');
      expect(microphones).toBeInstanceOf(Array);
    },
  );

  tried('plays, and leads a band', async () => {
    const reader = new PipeReader(home);
    chmodSync(reader.path, 0o666);
    const played = await call(
      'lead',
      chart,
      '--plain',
      '--out',
      `raw:${reader.path}`,
      '--loop',
      '1-2',
      '--tempo',
      '300',
    );
    expect(played).toMatchObject({ status: 0 });
    expect(played.out).toContain('join word: ');
    expect(await until(() => noteOns(reader.arrivals()).length > 4)).toBe(true);
    expect(hanging(reader.arrivals())).toEqual([]);
    reader.close();
  });

  tried('shows the list and the stand on a terminal, with the hand planned', async () => {
    const [file, words] = command('--out', 'none');
    const terminal = new Terminal([file, ...words], { cwd: home, env });
    expect(await terminal.shows('Tollhouse Kettle')).toBe(true);
    // Typing searches, Enter opens; fingers come from the thread that plans.
    terminal.type('kettle');
    expect(await terminal.shows('kettle')).toBe(true);
    terminal.type('\r');
    expect(await terminal.shows(/\d+-\d+-\d+-[\dx]+/)).toBe(true);
    terminal.type('\x03');
    expect(await terminal.ends()).toBe(0);
    await terminal.close();
  });
});

describe('a git clone', () => {
  const git = whereIs('git');
  if (!git) console.log('not tried: npx from a git clone, since git is not here');

  it.runIf(git !== null)(
    'is run by npx, which builds it',
    async () => {
      const clone = join(folder.path, 'clone');
      mkdirSync(clone);
      for (const name of sourceFiles()) cpSync(join(root, name), join(clone, name), { recursive: true });
      const as = ['-c', 'user.name=tests', '-c', 'user.email=tests@localhost', '-c', 'commit.gpgsign=false'];
      for (const words of [
        ['init', '-q'],
        ['add', '-A'],
        [...as, 'commit', '-q', '-m', 'as it is'],
      ])
        expect(await runs(git as string, words, { cwd: clone })).toMatchObject({ status: 0 });
      const cwd = ordinaryFolder(join(folder.path, 'elsewhere'));
      const words = ['exec', '--yes', '--prefer-offline', '--no-audit', '--package', `git+file://${clone}`];
      // That midi is compiled takes most of the time, and is not what is asked here.
      const told = await npm([...words, '--', 'barkline', '--version'], cwd, { MAKE: 'false' });
      expect(told).toMatchObject({ out: `${version}\n`, status: 0 });
      // It clones, installs all that the build needs, builds, packs and installs: under a minute on an idle machine.
    },
    420_000,
  );
});
