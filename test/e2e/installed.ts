import { execFile, execFileSync } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, readdirSync, realpathSync, symlinkSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { root } from './harness.js';

/** What a program left: what it wrote, and its exit status. */
export interface Ended {
  readonly out: string;
  readonly err: string;
  readonly status: number;
}

/** Where a program is looked for by its name. */
export function whereIs(name: string): string | null {
  const folders = (process.env.PATH ?? '').split(delimiter);
  const found = folders.map((folder) => join(folder, name)).find((path) => existsSync(path));
  return found === undefined ? null : realpathSync(found);
}

/** Runs a program to its end, however it ends. */
export function runs(
  file: string,
  words: readonly string[],
  options: { readonly cwd?: string; readonly env?: NodeJS.ProcessEnv } = {},
): Promise<Ended> {
  return new Promise((resolve) => {
    execFile(
      file,
      words,
      { ...options, encoding: 'utf8', maxBuffer: 1 << 26, timeout: 400_000 },
      (error, out, err) =>
        resolve({ out, err, status: typeof error?.code === 'number' ? error.code : error ? -1 : 0 }),
    );
  });
}

function npmProgram(): string {
  const path = process.env.npm_execpath ?? whereIs('npm');
  if (!path) throw new Error('npm is not on the search path');
  return path;
}

/** Runs npm in a folder, with more variables than ours. */
export function npm(
  words: readonly string[],
  cwd: string,
  more: Readonly<Record<string, string>> = {},
): Promise<Ended> {
  // What npm tells the scripts it runs would make this npm work in the project's folder.
  const env = Object.fromEntries(
    Object.entries(process.env).filter(([name]) => !/^(npm_|INIT_CWD$)/i.test(name)),
  );
  return runs(process.execPath, [npmProgram(), ...words], { cwd, env: { ...env, ...more } });
}

/** Makes a search path of Node, npm and a shell alone, as on a machine where nothing can be compiled. */
function bareSearchPath(folder: string): void {
  mkdirSync(folder);
  symlinkSync(process.execPath, join(folder, 'node'));
  symlinkSync('/bin/sh', join(folder, 'sh'));
  symlinkSync(npmProgram(), join(folder, 'npm'));
}

/** The tarball, and where it was installed from it. */
export interface Tarball {
  readonly packed: {
    readonly filename: string;
    readonly unpackedSize: number;
    readonly files: readonly { readonly path: string }[];
  };
  /** How its installation ended. */
  readonly installation: Ended;
  /** What the package has, with its dependencies below. */
  readonly installed: string;
  /** The command, as it stands on a search path. */
  readonly command: string;
}

/**
 * Packs the project as it is built, and installs the tarball globally below `folder` where nothing can be compiled; nobody may write there
 * afterwards. The program is not built anew: other tests are running it.
 */
export async function installTarball(folder: string): Promise<Tarball> {
  const prefix = join(folder, 'prefix');
  const bare = join(folder, 'bare');
  const pack = await npm(['pack', '--json', '--ignore-scripts', '--pack-destination', folder], root);
  const [packed] = JSON.parse(pack.out) as [Tarball['packed']];
  bareSearchPath(bare);
  const words = ['install', '-g', '--prefix', prefix, '--no-audit', '--no-fund', '--prefer-offline'];
  const installation = await npm([...words, join(folder, packed.filename)], folder, { PATH: bare });
  readOnly(prefix);
  return {
    packed,
    installation,
    installed: join(prefix, 'lib/node_modules/barkline'),
    command: join(prefix, 'bin/barkline'),
  };
}

/** Takes away the right to write below a folder, from everybody. */
function readOnly(folder: string): void {
  execFileSync('chmod', ['-R', 'a+rX,a-w', folder]);
}

/** The right to write is given back, so that the folder can be removed. */
export function writable(folder: string): void {
  if (existsSync(folder)) execFileSync('chmod', ['-R', 'u+w', folder]);
}

/** What stands before a command that an ordinary user runs: root becomes nobody, all others are ordinary already. */
export const asOrdinary: readonly string[] =
  process.getuid?.() === 0
    ? ['setpriv', '--reuid=65534', '--regid=65534', '--clear-groups', '--bounding-set=-all']
    : ['env'];

/** A folder that an ordinary user may write to. */
export function ordinaryFolder(path: string): string {
  mkdirSync(path);
  chmodSync(path, 0o777);
  return path;
}

/** Has the registry’s Node of a major version; `null` and why where it cannot be had. */
export async function nodeOf(
  major: number,
  folder: string,
): Promise<{ readonly node: string } | { readonly why: string }> {
  if (process.versions.node.startsWith(`${major}.`)) return { node: process.execPath };
  mkdirSync(folder);
  const words = ['install', '--no-audit', '--no-fund', '--prefer-offline', '--no-save', `node@${major}`];
  const { status, err } = await npm(words, folder);
  const node = join(folder, 'node_modules/node/bin/node');
  if (status === 0 && existsSync(node)) return { node };
  return { why: err.trim().split('\n')[0] ?? `npm ended with ${status}` };
}

/** The files below a folder of the project, for a copy of it: what git would know, without what is built or installed. */
export function sourceFiles(): readonly string[] {
  return readdirSync(root).filter((name) => !['dist', 'node_modules', 'coverage', '.git'].includes(name));
}
