// npm run reference: writes the pages of `barkline help` anew into charts/reference, from the built program.
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { programFor } from '../dist/commands/all.js';
import { referenceFiles } from '../dist/commands/help/pages.js';

const folder = fileURLToPath(new URL('../charts/reference', import.meta.url));
const files = referenceFiles(await programFor('', () => {}));
rmSync(folder, { recursive: true, force: true });
mkdirSync(folder, { recursive: true });
for (const [name, text] of files) writeFileSync(join(folder, name), text);
console.log(`${files.size} pages in charts/reference`);
