// npm run imports: checks that imports run one way and in no circle (see DEVELOPERS.md). Prints every one that does not, and exits 1.
// npm run imports -- --dot prints the graph of the folders, for a program that draws graphs; -- --text prints it as text.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { graphOf, importFaults, importsOf } from './import-graph.mjs';

const root = fileURLToPath(new URL('../../src', import.meta.url));
const files = new Map(
  readdirSync(root, { recursive: true })
    .filter((name) => /\.tsx?$/.test(name))
    .sort()
    .map((name) => [name, readFileSync(join(root, name), 'utf8')]),
);

/** Folders, and within ui those one deeper: what can be taken in at a glance. */
const roomOf = (name) => {
  const parts = name.split('/').slice(0, -1);
  return parts.slice(0, parts[0] === 'ui' ? 2 : 1).join('/') || name;
};

const wanted = process.argv[2];
if (wanted === '--dot' || wanted === '--text') {
  const edges = new Map();
  for (const [name, targets] of graphOf(files))
    for (const target of targets) {
      const [from, to] = [roomOf(name), roomOf(target)];
      if (from !== to) edges.set(from, (edges.get(from) ?? new Set()).add(to));
    }
  const rooms = [...edges].sort(([one], [other]) => (one < other ? -1 : 1));
  if (wanted === '--dot')
    console.log(
      `digraph src {\n${rooms.flatMap(([from, tos]) => [...tos].sort().map((to) => `  "${from}" -> "${to}";`)).join('\n')}\n}`,
    );
  else for (const [from, tos] of rooms) console.log(`${from.padEnd(14)} → ${[...tos].sort().join(', ')}`);
} else {
  const faults = importFaults(files);
  for (const fault of faults) console.error(fault);
  const count = [...files].reduce((sum, [name, text]) => sum + importsOf(name, text).length, 0);
  console.log(
    `${files.size} files, ${count} imports, ${faults.length} that run the wrong way or in a circle`,
  );
  process.exit(faults.length === 0 && count > 0 ? 0 : 1);
}
