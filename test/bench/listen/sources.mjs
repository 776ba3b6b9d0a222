// The modules of test/listen, which are TypeScript, made ready for a bench: their types taken off, and dist put for src.
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import ts from 'typescript';

const root = fileURLToPath(new URL('../../..', import.meta.url));

/** The exports of the modules of test/listen in one object, and what removes the files that were made for it. */
export async function testSources() {
  // Within the project, where packages are found.
  const cache = join(root, 'node_modules', '.cache');
  mkdirSync(cache, { recursive: true });
  const folder = mkdtempSync(join(cache, 'listen-'));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  const dist = pathToFileURL(join(root, 'dist')).href;
  writeFileSync(join(folder, 'package.json'), '{"type":"module"}');
  // Those that need helpers of other tests are for tests alone.
  const sources = readdirSync(join(root, 'test/listen'))
    .filter((name) => /^[^.]+\.ts$/.test(name))
    .map((name) => ({ name, source: readFileSync(join(root, 'test/listen', name), 'utf8') }))
    .filter(({ source }) => !/from '\.\.\/(?!\.\.\/src\/)/.test(source));
  const names = sources.map(({ name }) => name);
  for (const { name, source } of sources) {
    const { outputText } = ts.transpileModule(source, {
      compilerOptions: { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext },
    });
    writeFileSync(join(folder, name.replace(/ts$/, 'js')), outputText.replaceAll("'../../src/", `'${dist}/`));
  }
  try {
    const loaded = await Promise.all(
      names.map((name) => import(pathToFileURL(join(folder, name.replace(/ts$/, 'js'))).href)),
    );
    return { modules: Object.assign({}, ...loaded), remove };
  } catch (error) {
    remove();
    throw error;
  }
}
