// npm run build: makes dist anew, from the sources and from what of the development packages the program has with it.
import { execFileSync } from 'node:child_process';
import { chmodSync, copyFileSync, cpSync, mkdirSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundle } from './bundle.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));
const dist = join(root, 'dist');
const find = createRequire(import.meta.url);

rmSync(dist, { recursive: true, force: true });
try {
  execFileSync(process.execPath, [find.resolve('typescript/bin/tsc'), '-p', join(root, 'tsconfig.json')], {
    stdio: 'inherit',
  });
} catch {
  // The compiler has already reported what is wrong.
  process.exit(1);
}

await bundle(root);

// Two faces of the twenty-one in the package, whole, so that titles in any script print; and their licence, which asks to go with them.
const fonts = dirname(find.resolve('dejavu-fonts-ttf/package.json'));
mkdirSync(join(dist, 'fonts'));
for (const name of ['ttf/DejaVuSans.ttf', 'ttf/DejaVuSans-Bold.ttf', 'LICENSE'])
  copyFileSync(join(fonts, name), join(dist, 'fonts', name.replace('ttf/', '')));

// The pages of the help, which are read when they are asked for.
const pages = 'commands/help/pages';
cpSync(join(root, 'src', pages), join(dist, pages), { recursive: true });

// Run by its name from a clone, too.
chmodSync(join(dist, 'start.js'), 0o755);
