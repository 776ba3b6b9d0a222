import { spawnSync } from 'node:child_process';

/** Whether this machine hears its own multicast, without which no band is found by itself. */
export function carriesMulticast(): boolean {
  const script = `
    const { createSocket } = require('node:dgram');
    const socket = createSocket({ type: 'udp4', reuseAddr: true });
    const end = (status) => process.exit(status);
    socket.on('error', () => end(1));
    socket.on('message', () => end(0));
    socket.bind(0, () => {
      try {
        socket.addMembership('224.0.0.251');
        socket.setMulticastLoopback(true);
        socket.send('x', socket.address().port, '224.0.0.251', (error) => error && end(1));
      } catch { end(1); }
    });
    setTimeout(() => end(1), 1500);`;
  return spawnSync(process.execPath, ['-e', script], { timeout: 10_000 }).status === 0;
}
