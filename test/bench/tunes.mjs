// npm run bench -- tunes [FILE | FOLDER] [--quick]: the tunes of ABC files as exported MIDI files have them, beside what
// abc2midi makes of the same tunes: how many are equal in every pitch and onset, repeats played out, and by which named rules
// others are not. Hornpipes are counted apart: abc2midi swings them. Without a path: the tunes of the tests.
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { decodedText } from '../../dist/exchange/decoded-text.js';
import { hasReader, options } from './tunes/both.mjs';
import { judgeTune } from './tunes/judge.mjs';
import { rules } from './tunes/rules.mjs';

const usual = fileURLToPath(new URL('../fixtures/', import.meta.url));
/** The share of tunes, hornpipes apart, that are to be equal. */
const goal = 0.98;
const mostTold = 100;

function abcFiles(path) {
  if (!statSync(path).isDirectory()) return [path];
  return readdirSync(path)
    .sort()
    .flatMap((name) => abcFiles(join(path, name)))
    .filter((name) => name.endsWith('.abc'));
}

/** The tunes of a file, each as a text that has only it, after the fields that hold for all. */
function tunesOf(file) {
  const [head = '', ...tunes] = `\n${decodedText(readFileSync(file))}`
    .split(/\r\n|\r|\n/)
    .join('\n')
    .split(/\n(?=X:)/);
  const fields = head.split('\n').filter((line) => /^[A-Za-z]:/.test(line));
  const before = fields.length > 0 ? `${fields.join('\n')}\n\n` : '';
  return tunes.map((tune) => ({
    text: `${before}${tune}\n`,
    title: `${file}: ${/^X:\s*(\d*)/.exec(tune)?.[1] ?? ''} ${/^T:\s*(.*)/m.exec(tune)?.[1] ?? ''}`,
    isHornpipe: /^R:.*hornpipe/im.test(before + tune),
  }));
}

/** Counts what becomes of each tune. */
export function benchTunes() {
  if (!hasReader()) {
    console.log('abc2midi is not installed: nothing is compared');
    return { compared: 0 };
  }
  const path = process.argv.slice(3).find((word) => !word.startsWith('--')) ?? usual;
  const tunes = abcFiles(path).flatMap(tunesOf);
  const plain = tunes.filter(({ isHornpipe }) => !isHornpipe);
  const counts = { equal: 0, ruled: 0, other: 0, fault: 0 };
  const byRule = new Map(rules.map(({ name }) => [name, 0]));
  let told = 0;
  for (const { text, title } of plain) {
    const found = judgeTune(text);
    counts[found.kind] += 1;
    for (const name of found.rules ?? []) byRule.set(name, byRule.get(name) + 1);
    if (found.kind === 'equal' || told >= mostTold) continue;
    told += 1;
    console.log(
      `${title}\n  ${found.says}\n  ${found.rules ? `by rule: ${found.rules.join(', ')}` : found.kind === 'fault' ? 'nothing is made of it' : 'NOT EXPLAINED'}`,
    );
  }
  console.table(rules.map(({ name, says }) => ({ rule: name, tunes: byRule.get(name), says })));
  const share = counts.equal / Math.max(1, plain.length);
  console.log(
    `abc2midi ${options.join(' ')}: of ${plain.length} tunes (${tunes.length - plain.length} hornpipes left out) ${counts.equal} are equal, ` +
      `${(100 * share).toFixed(1)} %; ${counts.ruled} are not by a named rule, ${counts.other} for no known reason, of ${counts.fault} nothing is made`,
  );
  console.log(
    `${100 * goal} % equal: ${share >= goal ? 'yes' : 'no'}; every difference explained: ${counts.other === 0 ? 'yes' : 'no'}`,
  );
  return { tunes: plain.length, ...counts };
}
