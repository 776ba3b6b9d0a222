import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** How the package for MIDI ports acts: two ports are there, none is, it never comes back, or its process breaks off. */
export type FakeMidi = 'there' | 'none' | 'hung' | 'broken';

const acts: Readonly<Record<FakeMidi, string>> = {
  there: `class Ports { getPortCount() { return 2 } getPortName(port) { return 'Synth ' + 'AB'[port] } }`,
  none: 'class Ports { getPortCount() { return 0 } }',
  hung: 'class Ports { constructor() { for (;;); } }',
  broken: `class Ports { constructor() { process.kill(process.pid, 'SIGSEGV'); for (;;); } }`,
};

/** Variables with which every process of the program finds a package for MIDI that acts so, whatever the machine has. */
export function fakeMidi(folder: string, kind: FakeMidi): Record<string, string> {
  mkdirSync(folder, { recursive: true });
  const file = join(folder, `${kind}.cjs`);
  writeFileSync(
    file,
    `${acts[kind]}
    const fs = require('node:fs');
    const { Module, syncBuiltinESMExports } = require('node:module');
    const load = Module._load;
    Module._load = (name, ...rest) => (name === 'midi' ? { Output: Ports, Input: Ports } : load(name, ...rest));
    const { accessSync } = fs;
    fs.accessSync = (path, ...rest) => (path === '/dev/snd/seq' ? undefined : accessSync(path, ...rest));
    syncBuiltinESMExports();`,
  );
  return { NODE_OPTIONS: `--require ${file}` };
}
