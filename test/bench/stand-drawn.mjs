// How far the drawn beat is from its click: the stand on a terminal of its own, its clicks on a pipe, a thousand beats at several tempos.
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beatsDrawn, clicksIn, fromGrid } from './stand-beats.mjs';
import { pause, Running } from './stand-terminal.mjs';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const main = here('../../dist/main.js');
const chart = here('../../charts/weir-hands.yaml');
/** Beats at each of the tempos, beats a minute; a beat of the stand is drawn off its click by at most so much, ms. */
const usual = { tempos: [120, 155, 190, 225, 260], beats: 200 };
const hasty = { tempos: [240], beats: 12 };
const goal = { p99: 8, most: 12 };

/** Plays at each tempo, beside a program that only has a timer for each beat; prints and answers what came of it. */
export async function benchDrawn({ folder, quick }) {
  const { tempos, beats } = quick ? hasty : usual;
  const all = { drawn: [], click: [], picture: [], floor: [] };
  let missing = 0;
  for (const bpm of tempos) {
    const one = await playAt(folder, bpm, beats);
    for (const name of Object.keys(all)) all[name].push(...one[name]);
    missing += one.missing;
  }
  console.log(
    `\nThe drawn beat against its click: ${all.drawn.length + missing} beats at ${tempos.join(', ')} a minute, ms, stamped where they arrive`,
  );
  const off = all.drawn.map(Math.abs);
  const met = missing === 0 && quantile(off, 0.99) <= goal.p99 && Math.max(...off) <= goal.most;
  console.table([
    { ...told('the beat is drawn, less its click', all.drawn), met: met ? 'yes' : 'no' },
    told('the click, less when it was due', all.click),
    told('the beat is drawn, less when its click was due', all.picture),
    told('floor: a plain timer’s line, less when it was due', all.floor),
  ]);
  console.log(
    [
      `goal: within ${goal.p99} ms for 99 of 100 beats, ${goal.most} ms at most, and none missing; ${missing} are.`,
      'A click is due where the earliest of its tempo say. A beat that is ahead of a click which is late was drawn in time.',
    ].join('\n'),
  );
  return {
    'drawn beat, p50': quantile(all.drawn, 0.5),
    'drawn beat off its click, p99': quantile(off, 0.99),
    'drawn beat off its click, most': Math.max(...off),
    'floor, p99': quantile(all.floor, 0.99),
  };
}

async function playAt(folder, bpm, beats) {
  const beatMs = 60_000 / bpm;
  const pipe = join(folder, `clicks-${bpm}`);
  execFileSync('mkfifo', [pipe]);
  const stand = new Running(
    folder,
    [
      ...[process.execPath, main, 'play', chart, '--tempo', String(bpm), '--count-in', '0'],
      ...['--click', 'every', '--voices', 'click', '--out', `raw:${pipe}`],
    ],
    { pipe },
  );
  const floor = new Running(folder, [process.execPath, here('./stand-floor.mjs'), String(beatMs)]);
  try {
    await stand.shows('ready');
    stand.type(' ');
    await pause((beats + 1) * beatMs);
  } finally {
    await Promise.all([stand.leave(), floor.leave('\u0003')]);
  }
  const clicks = clicksIn(stand.arrivals).slice(0, beats);
  const shown = beatsDrawn(clicks, stand.outputs, beatMs);
  const { click, other } = fromGrid(clicks, shown.at, beatMs);
  return {
    drawn: shown.lags,
    missing: shown.missing,
    click,
    picture: other,
    floor: floor.outputs.flatMap(({ at, data }) =>
      [...data.toString('latin1').matchAll(/due (\d+)/g)].map(([, due]) => Number(at - BigInt(due)) / 1e6),
    ),
  };
}

function quantile(list, share) {
  const sorted = [...list].sort((one, other) => one - other);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

function told(what, list) {
  const ms = (value) => (Number.isFinite(value) ? value.toFixed(2) : '');
  return {
    what,
    beats: list.length,
    min: ms(Math.min(...list)),
    p1: ms(quantile(list, 0.01)),
    p50: ms(quantile(list, 0.5)),
    p99: ms(quantile(list, 0.99)),
    max: ms(Math.max(...list)),
  };
}
