import { execFileSync, spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { afterEach, describe, expect, it } from 'vitest';
import { bandKeys } from '../../src/link/keys.js';
import { newSeat } from '../../src/link/seat.js';
import { pause, root, until } from '../e2e/harness.js';
import { Band, bytes, type Stranger } from '../e2e/link-rig.js';
import { connectPacket, packet, publishPacket, subscribePacket } from '../link/packets.js';

const bands: Band[] = [];
async function open(): Promise<Band> {
  const band = await Band.open();
  bands.push(band);
  return band;
}
afterEach(async () => {
  await Promise.all(bands.splice(0).map((band) => band.end()));
});

const once = { retain: false, qos: 1 } as const;
/** The code of the answer to a first packet (MQTT 3.1.1 section 3.2); `undefined` while there is none. */
const code = (stranger: Stranger): number | undefined => stranger.received()[3];
const brokers = (parent = process.pid): string[] =>
  execFileSync('ps', ['-eo', 'pid=,ppid=,args='], { encoding: 'utf8' })
    .split('\n')
    .filter((line) => line.includes('link/broker/process.js') && line.includes(` ${parent} `))
    .map((line) => line.trim().split(/\s+/)[0] as string);

describe('who may join', () => {
  it('refuses a wrong word with a sentence, and tells the leader', async () => {
    const band = await open();
    const keys = { ...(await bandKeys('anotherword')), band: band.keys.band };
    const stand = band.join({ keys });
    expect(await until(() => stand.events.some(({ kind }) => kind === 'refused'))).toBe(true);
    expect(stand.events).toEqual([
      {
        kind: 'refused',
        reason: `mqtt://127.0.0.1:${band.port} does not accept this word; ask the leader for it`,
      },
    ]);
    expect(band.refusals()).toEqual(['somebody at 127.0.0.1 tried a wrong word']);
    expect(band.events.some(({ kind }) => kind === 'joined')).toBe(false);
  });

  it('listens to nobody at an address from which five wrong words came, but to the leader', async () => {
    const band = await open();
    const seat = newSeat();
    const wrong = Array.from({ length: 5 }, () => {
      const stranger = band.stranger();
      stranger.socket.write(connectPacket({ id: seat.id, user: seat.token, password: 'x' }));
      return stranger;
    });
    expect(await until(() => wrong.every((one) => code(one) === 4))).toBe(true);
    const right = await band.insider();
    expect(await until(() => code(right) === 3)).toBe(true);
    const lead = band.lead();
    expect(await until(lead.isUp)).toBe(true);
  });

  it('does not let one stand take another’s place by its id', async () => {
    const band = await open();
    const stand = band.join();
    await until(stand.isUp);
    const thief = band.stranger();
    thief.socket.write(
      connectPacket({ id: stand.seat.id, user: newSeat().token, password: band.keys.password }),
    );
    expect(await until(() => code(thief) === 4)).toBe(true);
    expect(stand.isUp()).toBe(true);
    expect(stand.events.map(({ kind }) => kind)).toEqual(['up']);
  });

  it('wants no session that outlasts its connection, and a sign of life', async () => {
    const band = await open();
    const [lasting, silent] = [band.stranger(), band.stranger()];
    const [one, other] = [newSeat(), newSeat()];
    const { password } = band.keys;
    lasting.socket.write(connectPacket({ id: one.id, user: one.token, password, clean: false }));
    silent.socket.write(connectPacket({ id: other.id, user: other.token, password, keepalive: 0 }));
    expect(await until(() => lasting.closed() && silent.closed())).toBe(true);
    expect([code(lasting), code(silent)]).not.toContain(0);
  });

  it('turns a stand away, which cannot come back under its id', async () => {
    const band = await open();
    const lead = band.lead();
    const seat = newSeat();
    const lastWord = { topic: ['here', seat.id], payload: bytes('gone'), retain: true, qos: 1 as const };
    const stand = band.join({ seat, lastWord: () => lastWord });
    await until(() => lead.isUp() && stand.isUp());
    band.broker.turnAway(seat.id);
    expect(await until(() => stand.events.at(-1)?.kind === 'refused')).toBe(true);
    expect(stand.events.at(-1)).toMatchObject({
      reason: expect.stringMatching(/turned away by whoever runs the broker/),
    });
    expect(await until(() => lead.heard('here').includes('gone'))).toBe(true);
    const again = await band.insider(seat);
    expect(code(again)).toBe(5);
    // Another from the same machine is somebody else.
    const other = band.join();
    expect(await until(other.isUp)).toBe(true);
  });
});

describe('who may say what', () => {
  it('lets nobody but the leader speak for the leader, nor one stand for another', async () => {
    const band = await open();
    const lead = band.lead();
    const [one, other] = [band.join(), band.join()];
    await until(() => lead.isUp() && one.isUp() && other.isUp());
    one.link.publish(['state'], bytes('forged'), { retain: true, qos: 1 });
    one.link.publish(['ask', other.seat.id], bytes('forged'), once);
    one.link.publish(['tell', other.seat.id], bytes('forged'), once);
    one.link.publish(['unheard-of'], bytes('forged'), once);
    one.link.publish(['ask', one.seat.id], bytes('mine'), once);
    expect(await until(() => lead.heard('ask').length > 0)).toBe(true);
    lead.link.publish(['state'], bytes('true'), { retain: true, qos: 1 });
    expect(await until(() => other.heard('state').length > 0)).toBe(true);
    expect(lead.heard('ask')).toEqual(['mine']);
    expect(other.heard('state')).toEqual(['true']);
    expect(other.heard('tell')).toEqual([]);
    expect(one.isUp()).toBe(true);
  });

  it('lets nobody hear what is for another, or everything', async () => {
    const band = await open();
    const lead = band.lead();
    const student = band.join();
    const curious = band.join({}, [
      ['ask', '+'],
      ['tell', '+'],
      ['tell', student.seat.id],
    ]);
    const insider = await band.insider();
    const root = `barkline/${band.keys.band}`;
    insider.socket.write(subscribePacket(['#', `${root}/#`, '$SYS/#', 'barkline/+/state', `${root}/state`]));
    expect(await until(() => insider.received().length >= 4 + 9)).toBe(true);
    expect([...insider.received().subarray(4 + 4, 4 + 9)]).toEqual([0x80, 0x80, 0x80, 0x80, 1]);
    await until(() => lead.isUp() && student.isUp() && curious.isUp());
    student.link.publish(['ask', student.seat.id], bytes('my pass'), once);
    expect(await until(() => lead.heard('ask').includes('my pass'))).toBe(true);
    lead.link.publish(['tell', student.seat.id], bytes('well done'), once);
    lead.link.publish(['tell', curious.seat.id], bytes('yours'), once);
    expect(await until(() => curious.heard('tell').includes('yours'))).toBe(true);
    expect(student.heard('tell')).toEqual(['well done']);
    expect(curious.heard('ask')).toEqual([]);
    expect(curious.heard('tell')).toEqual(['yours']);
  });

  it('lets another lead when it is told so, and the old one no longer', async () => {
    const band = await open();
    const lead = band.lead();
    const [next, other] = [band.join(), band.join()];
    await until(() => lead.isUp() && next.isUp() && other.isUp());
    band.broker.setLeader(next.seat.id);
    next.link.publish(['state'], bytes('new'), { retain: true, qos: 1 });
    expect(await until(() => other.heard('state').includes('new'))).toBe(true);
    lead.link.publish(['state'], bytes('old'), { retain: true, qos: 1 });
    next.link.publish(['state'], bytes('newer'), { retain: true, qos: 1 });
    expect(await until(() => other.heard('state').includes('newer'))).toBe(true);
    expect(other.heard('state')).toEqual(['new', 'newer']);
  });

  it('drops what was not sealed with the word, even from somebody who is in', async () => {
    const band = await open();
    const lead = band.lead();
    await until(lead.isUp);
    const seat = newSeat();
    const insider = await band.insider(seat);
    const topic = `barkline/${band.keys.band}/ask/${seat.id}`;
    insider.socket.write(publishPacket(topic, bytes('no seal')));
    insider.socket.write(publishPacket(topic, randomBytes(200)));
    const stand = band.join();
    await until(stand.isUp);
    stand.link.publish(['ask', stand.seat.id], bytes('sealed'), once);
    expect(await until(() => lead.heard('ask').length > 0)).toBe(true);
    expect(lead.heard('ask')).toEqual(['sealed']);
  });
});

describe('what the broker bears', () => {
  it('ends a connection that announces more than a chart, before it has it', async () => {
    const band = await open();
    const before = band.stranger();
    before.socket.write(packet(0x10, Buffer.alloc(100), 20_000));
    const seat = newSeat();
    const insider = await band.insider(seat);
    insider.socket.write(packet(0x30, Buffer.alloc(100), 200_000_000));
    expect(await until(() => before.closed() && insider.closed(), 3000)).toBe(true);
    expect(band.refusals().join()).toMatch(/too large/);
  });

  it('passes a chart of a mebibyte on, and nothing that is larger than one can become', async () => {
    const band = await open();
    const lead = band.lead();
    const stand = band.join();
    await until(() => lead.isUp() && stand.isUp());
    lead.link.publish(['state'], new Uint8Array((1 << 21) + 8193), { retain: true, qos: 1 });
    lead.link.publish(['state'], new Uint8Array(1 << 20).fill(65), { retain: true, qos: 1 });
    expect(await until(() => stand.heard('state').length > 0)).toBe(true);
    expect(stand.heard('state').map((text) => text.length)).toEqual([1 << 20]);
    const late = band.join();
    expect(await until(() => late.heard('state').length > 0)).toBe(true);
  });

  it('ends a connection that floods, and serves the others', async () => {
    const band = await open();
    const lead = band.lead();
    const stand = band.join();
    await until(() => lead.isUp() && stand.isUp());
    const seat = newSeat();
    const insider = await band.insider(seat);
    const one = publishPacket(`barkline/${band.keys.band}/ask/${seat.id}`, randomBytes(60));
    insider.socket.write(Buffer.concat(Array.from({ length: 20_000 }, () => one)));
    stand.link.publish(['ask', stand.seat.id], bytes('through'), once);
    expect(await until(() => insider.closed() && lead.heard('ask').includes('through'))).toBe(true);
    expect(band.refusals().join()).toMatch(/more messages than a stand needs/);
  });

  it('cuts off somebody who writes only where they may not', async () => {
    const band = await open();
    const insider = await band.insider();
    const one = publishPacket(`barkline/${band.keys.band}/state`, randomBytes(60));
    insider.socket.write(Buffer.concat(Array.from({ length: 100 }, () => one)));
    expect(await until(() => insider.closed())).toBe(true);
    expect(band.refusals().join()).toMatch(/wrote where it is not allowed to/);
  });

  it('holds nobody up for one that no longer reads, and cuts that one off', async () => {
    const band = await open();
    const lead = band.lead();
    const stand = band.join();
    const deaf = await band.insider();
    deaf.socket.write(subscribePacket([`barkline/${band.keys.band}/state`]));
    await until(() => deaf.received().length > 4 && lead.isUp() && stand.isUp());
    deaf.socket.pause();
    const chart = new Uint8Array(700_000).fill(66);
    for (let turn = 0; turn < 30; turn += 1) {
      lead.link.publish(['state'], chart, { retain: true, qos: 1 });
      expect(await until(() => stand.heard('state').length > turn, 5000)).toBe(true);
    }
    expect(band.refusals().join()).toMatch(/no longer reads/);
  });

  it('lets connections that say nothing go, and lets stands in meanwhile', async () => {
    const band = await open();
    const silent = Array.from({ length: 40 }, () => band.stranger());
    // Half a first packet, and then nothing.
    for (const one of silent.slice(20)) one.socket.write(Buffer.from([0x10, 0x40, 0x00]));
    const stand = band.join();
    expect(await until(stand.isUp, 3000)).toBe(true);
    expect(await until(() => silent.every((one) => one.closed()), 12_000)).toBe(true);
  });

  it('outlives garbage and other protocols', async () => {
    const band = await open();
    const before = brokers();
    expect(before.length).toBeGreaterThan(0);
    for (let turn = 0; turn < 60; turn += 1) {
      const stranger = band.stranger();
      stranger.socket.write(turn % 6 === 0 ? bytes('GET / HTTP/1.1\r\n\r\n') : randomBytes(1 + turn * 40));
    }
    await pause(500);
    const stand = band.join();
    expect(await until(stand.isUp, 12_000)).toBe(true);
    expect(brokers()).toEqual(before);
  });
});

describe('what comes back', () => {
  it('opens another broker at the same port when the process is killed, and the stands find it', async () => {
    const band = await open();
    const lead = band.lead();
    const stand = band.join();
    await until(() => lead.isUp() && stand.isUp());
    const { port } = band;
    for (const pid of brokers()) process.kill(Number(pid), 'SIGKILL');
    expect(await until(() => stand.events.some(({ kind }) => kind === 'down'))).toBe(true);
    expect(await until(() => lead.isUp() && stand.isUp(), 15_000)).toBe(true);
    expect(band.port).toBe(port);
    expect(band.events.find(({ kind }) => kind === 'died')).toMatchObject({ again: true });
    lead.link.publish(['state'], bytes('again'), { retain: true, qos: 1 });
    expect(await until(() => stand.heard('state').includes('again'))).toBe(true);
  });

  it('sends what was to arrive for certain when the connection is back, and no old time stamps', async () => {
    const band = await open();
    const lead = band.lead();
    const stand = band.join();
    await until(() => lead.isUp() && stand.isUp());
    const { link, seat } = stand;
    // Another connection with its seat puts this one out, and the leader stays.
    await band.insider(seat);
    expect(await until(() => stand.events.some(({ kind }) => kind === 'down'))).toBe(true);
    link.publish(['ask', seat.id], bytes('stamp'), { retain: false, qos: 0 });
    link.publish(['here', seat.id], bytes('first'), { retain: true, qos: 1 });
    link.publish(['here', seat.id], bytes('second'), { retain: true, qos: 1 });
    link.publish(['ask', seat.id], bytes('once more'), once);
    expect(await until(() => lead.heard('ask').length > 0 && lead.heard('here').length > 0, 20_000)).toBe(
      true,
    );
    expect(lead.heard('ask')).toEqual(['once more']);
    expect(lead.heard('here')).toEqual(['second']);
  });

  it('goes on whatever the terminal sends the group, and leaves when it is told to end', async () => {
    const band = await open();
    const stand = band.join();
    await until(stand.isUp);
    const [pid] = brokers();
    for (const signal of ['SIGINT', 'SIGQUIT', 'SIGTSTP', 'SIGHUP'] as const)
      process.kill(Number(pid), signal);
    const other = band.join();
    expect(await until(other.isUp)).toBe(true);
    expect(brokers()).toEqual([pid]);
    expect(stand.events.map(({ kind }) => kind)).toEqual(['up']);
  });

  it('ends the broker’s process when its parent was killed', async () => {
    const script = `
      const { openBroker } = await import(${JSON.stringify(`${root}/dist/link/broker.js`)});
      const { newSeat } = await import(${JSON.stringify(`${root}/dist/link/seat.js`)});
      const keys = { band: 'b1', password: 'x' };
      openBroker({ keys, seat: newSeat(), port: 0, host: '127.0.0.1', onEvent: ({ kind }) => console.log(kind) });`;
    const parent = spawn(process.execPath, ['--input-type=module', '-e', script], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let said = '';
    parent.stdout.on('data', (data: Buffer) => {
      said += data;
    });
    expect(await until(() => said.includes('listening'))).toBe(true);
    expect(brokers(parent.pid)).toHaveLength(1);
    const [pid = ''] = brokers(parent.pid);
    parent.kill('SIGKILL');
    const lives = (): boolean => {
      try {
        return process.kill(Number(pid), 0);
      } catch {
        return false;
      }
    };
    expect(await until(() => !lives(), 3000)).toBe(true);
  });

  it('ends the broker’s process when it is closed', async () => {
    const band = await Band.open();
    expect(brokers()).toHaveLength(1);
    await band.end();
    expect(brokers()).toEqual([]);
  });
});
