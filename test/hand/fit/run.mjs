// npm run fit: learns the prices of a grip from published fingerings, and prints what they come to.

import { gripPrices } from '../../../dist/hand/grip.js';
import { gripFeatures } from '../../../dist/hand/grip-features.js';
import { practice, published, ukulelePractice } from './boards.mjs';
import { expectedPrices, formerly, learn, leftOut, measured, ranked, score } from './fit.mjs';

const learned = published.map(measured);
const habits = practice.map(measured);
const ukulele = ukulelePractice.map(measured);
const fitted = learn([...learned, ...habits]);
const written = gripFeatures.map((name) => gripPrices[name]);

console.log('price               expected   fitted  written');
for (const [at, name] of gripFeatures.entries())
  console.log(
    name.padEnd(18),
    ...[expectedPrices, fitted, written].map((prices) => prices[at].toFixed(3).padStart(9)),
  );

const said = ({ boards, among, first }) => `among ours ${among} of ${boards}, first ${first} of ${boards}`;
for (const [name, boards] of [
  ['published (GNU LilyPond, mandolin)', learned],
  ['habits (mandolin)', habits],
  ['ukulele, from memory (no price is learned from it, measures were chosen with it in sight)', ukulele],
]) {
  console.log(`\n${name}`);
  console.log(`  before, a flat finger dear and nothing else  ${said(score(boards, formerly))}`);
  for (const [which, prices] of [
    ['prices as expected', expectedPrices],
    ['prices as fitted', fitted],
    ['prices as written', written],
  ])
    console.log(`  ${which.padEnd(44)} ${said(score(boards, (board) => ranked(board, prices)))}`);
  for (const board of boards) {
    const order = ranked(board, written);
    if (!order[0]?.right)
      console.log(
        `    ${board.chord} ${board.written}: printed ${board.fingers.join(' or ')}, ours ${order
          .slice(0, 4)
          .map(({ text, ms }) => `${text} ${ms.toFixed(1)}`)
          .join(', ')}; printed costs ${order.find(({ right }) => right)?.ms.toFixed(1)}`,
      );
  }
}

const left = [
  ['each board, the others published', {}],
  ['each board, the others and habits', { always: habits }],
  ['each quality, the other two', { whole: true }],
];
console.log('\nforetold though left out, from');
for (const doubt of [1, 10])
  for (const [name, how] of left) {
    const out = leftOut(learned, { ...how, doubt });
    const said = `${name}${doubt > 1 ? `, ${doubt} times less sure of what we expect` : ''}`;
    console.log(`  ${said.padEnd(75)} ${out.filter(({ right }) => right).length} of ${out.length}`);
    for (const { board, got, right } of out)
      if (!right) console.log(`    ${board.chord} ${board.written} ${board.fingers.join(' or ')}: ${got}`);
  }
