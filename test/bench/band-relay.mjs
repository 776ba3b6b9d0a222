// What stands between stands and their broker where no namespaces are to be had: each piece that comes is passed on later, in order; one that is lost comes
// 200 ms later than it would have, the least that TCP waits before it sends again on Linux.
import { connect, createServer } from 'node:net';

const { there, thereJitter, back, backJitter, loss, port } = JSON.parse(process.argv[2]);
const againMs = 200;
let cut = false;
const sockets = new Set();

/** Passes on what one socket says to another. */
function pass(from, to, delay, jitter) {
  let latest = 0;
  from.on('data', (piece) => {
    if (cut) return;
    const now = performance.now();
    const lost = Math.random() < loss ? againMs : 0;
    latest = Math.max(latest, now + delay + jitter * Math.random() + lost);
    setTimeout(() => to.write(piece), latest - now);
  });
  from.on('close', () => setTimeout(() => to.destroy(), Math.max(0, latest - performance.now())));
  from.on('error', () => {});
}

const server = createServer((follower) => {
  const broker = connect({ port, host: '127.0.0.1', noDelay: true });
  follower.setNoDelay(true);
  for (const socket of [follower, broker]) {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
  }
  pass(broker, follower, there, thereJitter);
  pass(follower, broker, back, backJitter);
});
server.listen(0, '127.0.0.1', () => process.send({ port: server.address().port }));
process.on('message', (what) => {
  cut = what === 'cut';
  // What was held back while it was cut is gone for good: as after a real cut, the connection is.
  if (cut) for (const socket of sockets) socket.destroy();
});
process.on('disconnect', () => process.exit(0));
