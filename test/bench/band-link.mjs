// npm run bench -- band-link [--quick]: what the band's link costs: messages and bytes a second, the broker's and the leader's share of a core with
// twenty-five stands at 240 beats a minute, and how long a question and its answer take, beside bare sockets and the bare library in the same run.
import { execFileSync, fork } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import mqtt from 'mqtt';
import { openBroker } from '../../dist/link/broker.js';
import { openLink } from '../../dist/link/client.js';
import { bandKeys } from '../../dist/link/keys.js';
import { sealed, unsealed } from '../../dist/link/seal.js';
import { newSeat } from '../../dist/link/seat.js';
import { makeWord, readWord } from '../../dist/link/word.js';
import { medianTime } from './figures.mjs';

const goals = { processor: 10, kilobytes: 100 };
const [count, bpm, perBeat] = [25, 240, 0.2];
const all = ['anyone'];
const rules = [
  { topic: ['state'], write: ['leader'], read: all, retain: true, most: 1 << 20 },
  { topic: ['here', '$id'], write: ['owner'], read: ['leader'], retain: true, most: 1024 },
  { topic: ['ask', '$id'], write: ['owner'], read: ['leader'], retain: false, most: 1024 },
  { topic: ['tell', '$id'], write: ['leader'], read: ['owner'], retain: false, most: 1024 },
];
/** A clock tick of the system's account of processor time, ms. */
const tickMs = 1000 / Number(execFileSync('getconf', ['CLK_TCK'], { encoding: 'utf8' }));

/** A process of the bench in a role; `next` resolves with its next message. */
function helper(message) {
  const child = fork(fileURLToPath(new URL('./band-link-stands.mjs', import.meta.url)), {
    serialization: 'advanced',
  });
  const waiting = [];
  const come = [];
  child.on('message', (said) => (waiting.length > 0 ? waiting.shift().resolve(said) : come.push(said)));
  child.on('exit', () => {
    for (const { reject } of waiting) reject(new Error('a process of the bench has died'));
  });
  child.send(message);
  const next = () =>
    come.length > 0
      ? Promise.resolve(come.shift())
      : new Promise((resolve, reject) => waiting.push({ resolve, reject }));
  return { next, end: () => child.kill() };
}

/** Median and 99th percentile, ms. */
function spread(trips) {
  const sorted = [...trips].sort((one, other) => one - other);
  return { p50: sorted[Math.floor(0.5 * sorted.length)], p99: sorted[Math.floor(0.99 * sorted.length)] };
}

/** Processor time that a process took until now, ms, and its greatest memory, MiB. */
function taken(pid) {
  const stat = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1].split(' ');
  const peak = /VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'));
  return { ms: (Number(stat[11]) + Number(stat[12])) * tickMs, mib: Number(peak[1]) / 1024 };
}

async function bareSockets(rounds) {
  const server = helper({ role: 'echo' });
  const { port } = await server.next();
  const client = helper({ role: 'socket', port, rounds });
  const { trips } = await client.next();
  for (const one of [server, client]) one.end();
  return spread(trips);
}

async function bareLibrary(rounds) {
  const server = helper({ role: 'broker' });
  const { port } = await server.next();
  const answering = mqtt.connect(`mqtt://127.0.0.1:${port}`, { protocolVersion: 4 });
  answering.on('message', (_topic, payload) => answering.publish('tell', payload));
  await new Promise((resolve) => answering.once('connect', resolve));
  answering.stream.setNoDelay?.(true);
  await answering.subscribeAsync('ask');
  const client = helper({ role: 'bareStand', port, rounds });
  const { trips } = await client.next();
  await answering.endAsync();
  for (const one of [server, client]) one.end();
  return spread(trips);
}

/** A band with its leader here, its broker in its own process, and its stands in another. */
async function band({ stands, seconds = 0, rounds = 0 }) {
  const keys = await bandKeys(readWord(makeWord()).value);
  const seat = newSeat();
  let broker = null;
  const port = await new Promise((resolve, reject) => {
    broker = openBroker({
      keys,
      seat,
      rules,
      port: 0,
      host: '127.0.0.1',
      onEvent: (event) => {
        if (event.kind === 'listening') resolve(event.port);
        if (event.kind === 'failed' || event.kind === 'refused') reject(new Error(event.sentence));
      },
    });
  });
  let heard = 0;
  const lead = await new Promise((resolve, reject) => {
    const link = openLink({
      address: { host: '127.0.0.1', port, tls: false, user: null, password: null },
      keys,
      seat,
      leaderPassword: broker.leaderPassword,
      onEvent: (event) => {
        if (event.kind === 'up') resolve(link);
        if (event.kind === 'refused') reject(new Error(event.reason));
        if (event.kind !== 'message') return;
        heard += 1;
        if (event.topic[0] === 'ask')
          link.publish(['tell', event.topic[1]], event.payload, { retain: false, qos: 0 });
      },
    });
    link.subscribe([
      ['ask', '+'],
      ['here', '+'],
    ]);
  });
  const others = helper({ role: 'stands', port, keys, count: stands, seconds, rounds, perBeat, bpm });
  await others.next();
  const pid = Number(
    execFileSync('pgrep', ['-P', `${process.pid}`, '-f', 'link/broker/process'], { encoding: 'utf8' }),
  );
  const [before, ownBefore, bytesBefore] = [taken(pid), process.cpuUsage(), lead.traffic()];
  heard = 0;
  const spans =
    seconds > 0
      ? setInterval(
          () => lead.publish(['state'], Buffer.alloc(300), { retain: true, qos: 1 }),
          60_000 / bpm / perBeat,
        )
      : null;
  const result = await others.next();
  if (spans) clearInterval(spans);
  const [after, own, bytes] = [taken(pid), process.cpuUsage(ownBefore), lead.traffic()];
  await lead.close();
  await broker.close();
  others.end();
  const perSecond = (much) => (1000 * much) / result.ms;
  return {
    ...spread(result.trips),
    trips: result.trips.length,
    messages: perSecond(heard + result.heard),
    kilobytes:
      perSecond(result.bytes + bytes.received + bytes.sent - bytesBefore.received - bytesBefore.sent) / 1000,
    brokerShare: (100 * (after.ms - before.ms)) / result.ms,
    brokerMib: after.mib,
    leaderShare: (100 * (own.user + own.system)) / 1000 / result.ms,
  };
}

/** Runs the bench. */
export async function benchBandLink(quick) {
  // In turns, and of each the best: what else the machine does at the moment falls on all of them alike.
  const [turns, rounds] = quick ? [1, 60] : [4, 250];
  const tries = { sockets: [], library: [], one: [] };
  for (let turn = 0; turn < turns; turn += 1) {
    tries.sockets.push(await bareSockets(rounds));
    tries.library.push(await bareLibrary(rounds));
    tries.one.push(await band({ stands: 1, rounds }));
  }
  const best = (list) => ({
    p50: Math.min(...list.map(({ p50 }) => p50)),
    p99: Math.min(...list.map(({ p99 }) => p99)),
  });
  const [sockets, library, one] = [best(tries.sockets), best(tries.library), best(tries.one)];
  console.log(
    '\na question and its answer over loopback, ms (leader, broker and stand are processes of their own)',
  );
  const row = (what, { p50, p99 }) => ({ what, p50: p50.toFixed(3), p99: p99.toFixed(3) });
  console.table([
    row('bare sockets, two ways', sockets),
    row('bare library, four ways', library),
    row('the link, four ways', one),
  ]);

  const key = Buffer.alloc(32, 1);
  const payload = Buffer.alloc(60, 2);
  const topic = ['tell', '0123456789abcdef'];
  const sealUs = medianTime(() => {
    for (let turn = 0; turn < 1000; turn += 1) unsealed(key, topic, sealed(key, topic, payload));
  });
  const chart = Buffer.alloc(1 << 20, 3);
  const chartMs = medianTime(() => unsealed(key, topic, sealed(key, topic, chart)), 5, 2);
  console.log(
    `sealing and unsealing: ${sealUs.toFixed(1)} µs a time stamp, ${chartMs.toFixed(1)} ms a chart of 1 MiB`,
  );

  const many = await band({ stands: count, seconds: quick ? 3 : 30 });
  console.log(
    `\n${count} stands at ${bpm} beats a minute, ${perBeat} messages a beat each and a time stamp a second`,
  );
  const figure = (what, value, goal = '') => ({ what, figure: value.toFixed(value < 10 ? 2 : 0), goal });
  console.table([
    figure('messages heard a second, in all', many.messages),
    figure('kB a second, in all', many.kilobytes, `≤ ${goals.kilobytes}`),
    figure('broker’s process, % of a core', many.brokerShare),
    figure('leader’s end of the link, % of a core', many.leaderShare),
    figure('both', many.brokerShare + many.leaderShare, `≤ ${goals.processor}`),
    figure('broker’s memory, MiB at most', many.brokerMib),
    figure('question and answer p50, ms', many.p50),
    figure(`question and answer p99 of ${many.trips}, ms`, many.p99),
  ]);
  return {
    socketsP50: sockets.p50,
    socketsP99: sockets.p99,
    libraryP50: library.p50,
    libraryP99: library.p99,
    linkP50: one.p50,
    linkP99: one.p99,
    sealUs,
    chartMs,
    ...Object.fromEntries(Object.entries(many).map(([name, value]) => [`many ${name}`, value])),
  };
}
