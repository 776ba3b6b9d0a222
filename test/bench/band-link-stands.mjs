// A process of the bench band-link: stands that follow a leader, or in their place bare sockets and the bare library. It is told
// what to be by its first message, and answers what it measured.
import { connect as connectSocket, createServer } from 'node:net';
import { Aedes } from 'aedes';
import mqtt from 'mqtt';
import { openLink } from '../../dist/link/client.js';
import { newSeat } from '../../dist/link/seat.js';
import { hrtimeMs } from '../../dist/player/host.js';

/** A time stamp's payload has about this many bytes. */
const stampBytes = 60;
const stamp = Buffer.alloc(stampBytes, 0x61);
const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

const roles = { echo, broker, bareStand, stands };
process.on('message', (message) => roles[message.role]?.(message));
process.on('disconnect', () => process.exit(0));

/** Answers every piece with itself. */
function echo() {
  const server = createServer((socket) => socket.setNoDelay(true).pipe(socket));
  server.listen(0, '127.0.0.1', () => process.send({ port: server.address().port }));
}

/** A broker of the library alone, without bounds, rules or word. */
async function broker() {
  const aedes = await Aedes.createBroker();
  const server = createServer((socket) => aedes.handle(socket.setNoDelay(true)));
  server.listen(0, '127.0.0.1', () => process.send({ port: server.address().port }));
}

/** A stand that asks through the library alone. */
async function bareStand({ port, rounds }) {
  const client = mqtt.connect(`mqtt://127.0.0.1:${port}`, { protocolVersion: 4 });
  client.stream.setNoDelay?.(true);
  await new Promise((resolve) => client.once('connect', resolve));
  await client.subscribeAsync('tell');
  const trips = await trip(rounds, (done) => {
    client.once('message', () => done(hrtimeMs()));
    client.publish('ask', stamp);
  });
  await client.endAsync();
  process.send({ trips });
}

/** Stands that say what the band says: so many messages a beat each, and a time stamp a second. */
async function stands({ port, keys, count, seconds, perBeat, bpm, rounds }) {
  const address = { host: '127.0.0.1', port, tls: false, user: null, password: null };
  const all = await Promise.all(
    Array.from({ length: count }, async () => {
      const one = { seat: newSeat(), heard: 0, answered: () => {} };
      await new Promise((resolve) => {
        one.link = openLink({
          address,
          keys: { ...keys, seal: Buffer.from(keys.seal) },
          seat: one.seat,
          onEvent: (event) => {
            if (event.kind === 'up') resolve();
            if (event.kind === 'message') one.heard += 1;
            if (event.kind === 'message' && event.topic[0] === 'tell') one.answered(event.at);
          },
        });
        one.link.subscribe([['state'], ['tell', one.seat.id]]);
      });
      return one;
    }),
  );
  process.send({ joined: count });
  const before = process.cpuUsage();
  const begun = hrtimeMs();
  const trips = [];
  const asking = (one) => (done) => {
    one.answered = done;
    one.link.publish(['ask', one.seat.id], stamp, { retain: false, qos: 0 });
  };
  if (rounds) trips.push(...(await trip(rounds, asking(all[0]))));
  else
    await Promise.all(
      all.map(async (one, at) => {
        await pause((1000 * at) / count);
        const talking = setInterval(
          () => one.link.publish(['here', one.seat.id], Buffer.alloc(200), { retain: true, qos: 1 }),
          60_000 / bpm / perBeat,
        );
        for (const end = begun + 1000 * seconds; hrtimeMs() < end; await pause(1000))
          trips.push(...(await trip(1, asking(one))));
        clearInterval(talking);
      }),
    );
  const { user, system } = process.cpuUsage(before);
  const ms = hrtimeMs() - begun;
  const traffic = all.map(({ link }) => link.traffic());
  process.send({
    trips,
    ms,
    cpuMs: (user + system) / 1000,
    heard: all.reduce((sum, one) => sum + one.heard, 0),
    bytes: traffic.reduce((sum, { received, sent }) => sum + received + sent, 0),
  });
  await Promise.all(all.map(({ link }) => link.close()));
}

/** How long each question takes to be answered, ms; one after another, with a pause by chance between. */
async function trip(rounds, ask) {
  const trips = [];
  for (let round = 0; round < rounds; round += 1) {
    const sent = hrtimeMs();
    const arrived = await new Promise((resolve) => ask(resolve));
    trips.push(arrived - sent);
    // No faster than the broker lets a stand speak in the long run.
    if (rounds > 1) await pause(18 + 4 * Math.random());
  }
  return trips;
}

/** Bare sockets: what the system itself takes. */
roles.socket = async ({ port, rounds }) => {
  const socket = connectSocket({ port, host: '127.0.0.1', noDelay: true });
  await new Promise((resolve) => socket.once('connect', resolve));
  const trips = await trip(rounds, (done) => {
    socket.once('data', () => done(hrtimeMs()));
    socket.write(stamp);
  });
  socket.destroy();
  process.send({ trips });
};
