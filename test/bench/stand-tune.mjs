// What the line of the tune costs a picture of the stand: the same chart without a tune, with one that is hidden, and with one that is
// shown, by turns in one process. A picture is what the interface does from the model to the bytes: compose, paint, write what changed.
import { readChart } from '../../dist/chart/read.js';
import { mandolin } from '../../dist/hand/instrument.js';
import { arrange } from '../../dist/time/arrange.js';
import { usualClick } from '../../dist/time/click.js';
import { usualMix, usualSound } from '../../dist/time/sound.js';
import { fitLine } from '../../dist/ui/draw/line.js';
import { paint } from '../../dist/ui/draw/paint.js';
import { standLines } from '../../dist/ui/draw/stand.js';
import { ScreenWriter } from '../../dist/ui/screen-writer.js';
import { firstModel } from '../../dist/ui/state/model.js';
import { update } from '../../dist/ui/update/update.js';

const sizes = [
  { columns: 60, rows: 18 },
  { columns: 80, rows: 24 },
  { columns: 140, rows: 45 },
];
/** Bars of the chart, all with eighths: the busiest tune that is usual. */
const bars = 32;
const eighths = 'EA ce dc BA | FA cd ec Bc | dB GB dB AG | EG Bd cB AG |';
/** A beat at the tempo of the bench, ms: each picture differs from the one before, with a tune and without. */
const beatMs = 250;

function chartText(tune) {
  const lines = '    1 4 (1 5) 6-^7\n'.repeat(bars / 4);
  const notes = `    ${eighths}\n`.repeat(bars / 4);
  return `title: Bench\nkey: A\ntempo: 240\nsections:\n  V: |\n${lines}${tune ? `tune:\n  V: |\n${notes}` : ''}`;
}

/** Messages one after the other; arrangements that are asked for come at once. */
function having(model, ...messages) {
  let current = model;
  for (const message of messages) {
    const updated = update(current, message);
    current = updated.model;
    for (const effect of updated.effects)
      if (effect.kind === 'arrange')
        current = having(current, {
          kind: 'arranged',
          id: effect.id,
          arrangement: arrange(effect.chart, effect.options),
          at: 0,
        });
  }
  return current;
}

/** A stand that plays, from time 0. */
function playing({ columns, rows }, tune, shown) {
  const source = chartText(tune);
  const read = readChart(new TextEncoder().encode(source));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  const chart = read.value;
  const start = {
    key: chart.key,
    bpm: 240,
    countIn: 0,
    passes: null,
    range: null,
    from: 0,
    instrument: mandolin,
    plan: {},
    sound: usualSound,
    mix: usualMix,
    click: usualClick,
    pattern: null,
    patterns: [],
    ramp: null,
  };
  return having(
    firstModel({ colour: true, unicode: true }, columns, rows),
    { kind: 'chart-opened', file: 'bench.yaml', chart, start, source },
    {
      kind: 'player',
      at: 0,
      message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [] },
    },
    ...(shown ? [{ kind: 'action', action: 'show-tune', at: 0 }] : []),
    { kind: 'action', action: 'play', at: 0 },
    { kind: 'player', at: 0, message: { kind: 'state', state: 'running', tick: 0 } },
    {
      kind: 'player',
      at: 0,
      message: { kind: 'spans', spans: [{ tick: 0, time: 0, msPerTick: beatMs / 960 }] },
    },
  );
}

/** The models of so many pictures. */
function modelsOf(first, count) {
  const models = [];
  let model = first;
  for (let index = 1; index <= count; index += 1) {
    model = having(model, { kind: 'clock', at: index * beatMs + 0.2 });
    models.push(model);
  }
  return models;
}

function drawer({ columns, rows }) {
  let bytes = 0;
  const writer = new ScreenWriter({
    columns,
    rows,
    write: (text) => {
      bytes += text.length;
      return true;
    },
    on: () => {},
    off: () => {},
  });
  return {
    draw: (model) => {
      writer.put(standLines(model).map((line) => paint(fitLine(line, columns), model.look)));
      writer.flush();
    },
    bytes: () => bytes,
  };
}

/** What a picture costs where nothing else had the processor: the time below which a tenth of its times lie. */
function undisturbed(list) {
  return [...list].sort((one, other) => one - other)[Math.floor(list.length / 10)] ?? Number.NaN;
}

/** The parts of `npm run bench -- stand` that this is: figures by name. */
export function benchTune({ quick }) {
  const rounds = quick ? 30 : 300;
  const count = 64;
  const kinds = { without: [false, false], hidden: [true, false], shown: [true, true] };
  const rows = [];
  const figures = {};
  for (const size of sizes) {
    const all = Object.entries(kinds).map(([name, [tune, shown]]) => ({
      name,
      models: modelsOf(playing(size, tune, shown), count),
      drawer: drawer(size),
      times: Array.from({ length: count }, () => []),
    }));
    const early = rounds / 10;
    for (let round = 0; round < rounds + early; round += 1)
      for (let picture = 0; picture < count; picture += 1)
        // By turns, and not always the same one first: what else the machine does comes to all.
        for (let turn = 0; turn < all.length; turn += 1) {
          const one = all[(round + picture + turn) % all.length];
          const start = performance.now();
          one.drawer.draw(one.models[picture]);
          const took = performance.now() - start;
          if (round >= early) one.times[picture].push(took);
        }
    const [without, hidden, shown] = all.map(
      ({ times }) => times.reduce((sum, list) => sum + undisturbed(list), 0) / count,
    );
    const name = `${size.columns}x${size.rows}`;
    rows.push({
      size: name,
      'without a tune, ms': without.toFixed(3),
      'hidden, ms': hidden.toFixed(3),
      'shown, ms': shown.toFixed(3),
      'hidden against without': `${(100 * (hidden / without - 1)).toFixed(1)} %`,
      'shown against hidden': `${(100 * (shown / hidden - 1)).toFixed(1)} %`,
      'goal: at most 10 %': shown / hidden <= 1.1 ? 'met' : 'not met',
    });
    figures[`picture ${name}, hidden to without`] = hidden / without;
    figures[`picture ${name}, shown to hidden`] = shown / hidden;
  }
  console.log(
    `\nWhat a tune costs a picture of the stand: ${count} pictures, each drawn ${rounds} times by turns; the tenth part that was least disturbed by other programs`,
  );
  console.table(rows);
  return figures;
}
