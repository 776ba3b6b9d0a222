// npm run weeks: a beginner's first three weeks, and an advanced player's week before a set, in virtual time.

import { readFileSync } from 'node:fs';
import { readChart } from '../../../dist/chart/read.js';
import { dayKinds } from '../../../dist/shed/day-kind.js';
import { minutesOf } from '../../../dist/shed/sitting-item.js';
import { dayOf } from '../../../dist/shed/summary.js';
import { keyName } from '../../../dist/theory/key.js';
import { advanced, beginner, newPlayer } from './player-model.mjs';
import { weeks } from './weeks.mjs';

const monday = new Date(2026, 5, 1, 18, 0).getTime();
const names = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];

/** A demo chart as practice has it. */
function demo(name, key) {
  const file = new URL(`../../../charts/${name}.yaml`, import.meta.url);
  const read = readChart(readFileSync(file));
  if (!read.ok) throw new Error(name);
  return { chart: { ...read.value, key: key ?? read.value.key }, file: `${name}.yaml`, inSet: true };
}

function print({ days }, short) {
  days.forEach(({ now, kind, items, came, took, state }, index) => {
    const asked = Math.round(minutesOf(items) * 10) / 10;
    console.log(
      `\nday ${index + 1}, ${names[new Date(now).getDay()]} ${dayOf(now)}: ${kind}. ${dayKinds[kind]}` +
        (items.length === 0 ? '' : ` (${asked} min planned, ${Math.round(took)} taken)`),
    );
    items.forEach((item, at) => {
      if (item.kind === 'rest') {
        if (!short) console.log(`    rest ${item.seconds} s`);
        return;
      }
      const { drill, minutes } = item;
      const { bpm } = drill.chart.tempo;
      const first = Math.round(bpm * drill.start.share);
      const tempo = first === bpm ? `${bpm}` : `${first}-${bpm}`;
      console.log(
        `    ${String(minutes).padStart(2)} min  ${drill.title}, ${keyName(drill.chart.key)}, ${tempo}: ${came[at]}`,
      );
      if (!short) console.log(`              ${item.why}`);
    });
    if (state.ahead.length > 0)
      console.log(
        `    path: ${state.done.size} done; now ${state.ahead.map(({ step, key, best }) => `${step.id} in ${key}${best > 0 ? ` (${Math.round(best)} of ${step.bpm})` : ''}`).join(', ')}`,
      );
  });
}

const short = process.argv.includes('--short');
const seed = Number(process.argv.find((word) => /^\d+$/.test(word)) ?? 1);
console.log('A beginner, 20 minutes a day, three weeks');
const first = weeks({ player: newPlayer(beginner, seed), from: monday, days: 21, minutes: 20 });
print(first, short);
const last = first.days.at(-1);
const reached = first.days.findIndex(({ state }) =>
  state.steps.some(({ step, begun }) => step.id === 'song-of-three' && begun),
);
console.log(
  reached >= 0
    ? `\nThe song of 1, 4 and 5 was reached on day ${reached + 1}; done: ${[...last.state.done].join(', ')}`
    : `\nThe song of 1, 4 and 5 was not reached: ${last.state.ahead.map(({ step, best }) => `${step.id} stands at ${best} of ${step.bpm}`).join(', ')}`,
);

console.log('\nAn advanced player, 30 minutes a day, the week of a set on Saturday');
const saturday = monday + 5 * 86_400_000;
const charts = [
  'weir-hands',
  'nine-barges-late',
  'third-lantern-down',
  'copperwort-lane',
  'tollhouse-kettle',
].map((name) => demo(name));
print(
  weeks({
    player: newPlayer(advanced, seed),
    from: monday,
    days: 7,
    minutes: 30,
    charts,
    marks: { start: 'end', steps: {} },
    setDay: saturday,
  }),
  short,
);
