// What the player's own process is compared with: one program that draws the stand with Ink and sends with a plain
// timer, in the same process. node ink-timer.mjs JOB, where JOB is a JSON file:
//
//     {"chart": FILE, "bpm": N, "msPerTick": N, "pipe": PATH or null, "schedule": [{"ms": N, "hex": BYTES}, …]}
//
// Without a pipe it only draws, until it is ended: the load that a stand is.
import { constants, openSync, readFileSync, writeSync } from 'node:fs';
import { dirname } from 'node:path';

// As the program itself does before Ink and React are imported.
process.env.NODE_ENV = 'production';
for (const name of Object.keys(process.env))
  if (name === 'CI' || name.startsWith('CI_')) delete process.env[name];
const [{ createElement }, { render }] = await Promise.all([import('react'), import('ink')]);
const parts = [
  'ui/App',
  'ui/state/model',
  'ui/runtime',
  'ui/screen-writer',
  'chart/read',
  'commands/stand-start',
  'config/settings',
  'time/arrange',
  'player/host',
];
const [
  { App },
  { firstModel },
  { Runtime },
  { ScreenWriter },
  { readChart },
  { standStart },
  { readSettings },
  { arrange },
  { hrtimeMs: now },
] = await Promise.all(parts.map((part) => import(`../../dist/${part}.js`)));

/** From the first frame to the first deadline, ms. */
const startMs = 500;

const job = JSON.parse(readFileSync(process.argv[2], 'utf8'));
const runtime = openScreen();
const beginning = now() + startMs;
startScreen(beginning);
if (job.pipe) send(job.schedule, openSync(job.pipe, constants.O_WRONLY | constants.O_NONBLOCK), beginning);

/** The stand on the screen, as the program draws it; what it would tell a player's process is dropped. */
function openScreen() {
  const { columns, rows } = process.stdout;
  const stand = new Runtime(firstModel({ colour: true, unicode: true }, columns, rows), perform, now);
  process.stdout.write('\u001b[?1049h\u001b[2J\u001b[?25l');
  const stdout = new ScreenWriter(process.stdout);
  render(createElement(App, { runtime: stand, now }), {
    stdout,
    debug: true,
    exitOnCtrlC: false,
    patchConsole: false,
  });
  return stand;
}

function perform(effect) {
  if (effect.kind !== 'arrange') return;
  const arrangement = arrange(effect.chart, effect.options);
  setImmediate(() => runtime.dispatch({ kind: 'arranged', id: effect.id, arrangement, at: now() }));
}

/** Has the stand show a chart that plays from a time on: it is told what a player's process would tell it. */
function startScreen(time) {
  const bytes = readFileSync(job.chart);
  const reading = readChart(bytes);
  if (!reading.ok) throw new Error('the chart does not read');
  const chart = reading.value;
  const start = standStart(
    chart,
    null,
    { tempo: String(job.bpm) },
    readSettings(dirname(job.chart)).settings,
  );
  const hear = (message) => runtime.dispatch({ kind: 'player', at: now(), message });
  runtime.dispatch({ kind: 'chart-opened', file: job.chart, chart, start, source: bytes.toString('utf8') });
  hear({ kind: 'opened', out: { kind: 'none' }, label: 'a plain timer', lead: 0, refused: [] });
  // Pressed before the hand is planned: it begins as soon as it is.
  runtime.dispatch({ kind: 'action', action: 'play', at: now() });
  setTimeout(() => {
    hear({ kind: 'state', state: 'running', tick: 0 });
    hear({ kind: 'spans', spans: [{ tick: 0, time, msPerTick: job.msPerTick }] });
  }, startMs / 2);
}

/** Sends each deadline's bytes with a plain timer. Times are absolute, so nothing accumulates; what is due goes together. */
function send(schedule, pipe, start) {
  const messages = schedule.map(({ ms, hex }) => ({ time: start + ms, bytes: Buffer.from(hex, 'hex') }));
  let next = 0;
  const fire = () => {
    while (next < messages.length && messages[next].time <= now()) {
      writeSync(pipe, messages[next].bytes);
      next += 1;
    }
    if (next === messages.length) setTimeout(() => process.exit(0), 200);
    else setTimeout(fire, Math.max(0, messages[next].time - now()));
  };
  fire();
}
