import { describe, expect, it } from 'vitest';
import { lead } from '../../src/band/say.js';
import { playOrPause } from '../../src/playback/transport.js';
import { MachineClock, percentile, seeded, type Way, World } from './network.js';
import { Room, Stand } from './stage.js';
const text = `title: Osier Steps
key: G
tempo: 120
meter: 4/4
form: V, C
sections:
  V: |
    1 1 4 1
  C: |
    4 4 1 1
`;
const near: Way = { delay: 0.02, jitter: 0.02, loss: 0, doubled: 0, reorders: false };
const wired: Way = { delay: 0.3, jitter: 0.4, loss: 0, doubled: 0, reorders: false };
it('prof', () => {
    const world = new World();
    const random = seeded(5);
    const room = new Room(world);
    const stands = Array.from({ length: 4 }, (_, index) => new Stand(world, `stand-${index}`, new MachineClock(world, 1000 + index * 77_777, (index % 3) * 4e-5 - 4e-5)));
    const [leader, ...others] = stands as [Stand, ...Stand[]];
    leader.join(room, near, near, random);
    leader.act(lead);
    for (const other of others) other.join(room, wired, wired, random);
    leader.put(text);
    world.advance(1000);
    leader.play((session) => playOrPause(session));
    for (let k = 0; k < 6; k++) { const t = performance.now(); const m = room.messages, b = room.bytes; world.advance(1000 + 10000 * (k+1)); console.log((performance.now() - t).toFixed(0), 'ms for 10 s; messages', room.messages - m, 'bytes', room.bytes - b); }
}, 100000);
