import { afterEach, describe, expect, it } from 'vitest';
import { type Band, type BandStep, leaderId, leads, newBand, quiet, steps } from '../../src/band/band.js';
import { bandHeard } from '../../src/band/hear.js';
import { bandPlayed } from '../../src/band/play.js';
import { lead, will } from '../../src/band/say.js';
import { type BrokerAddress, readAddress } from '../../src/link/address.js';
import type { Meeting, MeetingEvent } from '../../src/link/meeting-types.js';
import { newSeat } from '../../src/link/seat.js';
import { firstSession } from '../../src/playback/session.js';
import { hrtimeMs } from '../../src/player/host.js';
import { until } from './harness.js';
import { freePort } from './mosquitto.js';
import { carriesMulticast } from './multicast.js';

const { openMeeting } = (await import(
  new URL('../../dist/link/meeting.js', import.meta.url).href
)) as typeof import('../../src/link/meeting.js');

/** A word of each test's own: another run on this network must not be found. */
const freshWord = (): string => `kolatiru${Math.random().toString(36).slice(2, 12)}`;

/** A stand without a player: its meeting, and its band brought up to date by what it hears. */
class Stand {
  band: Band;
  readonly events: MeetingEvent[] = [];
  readonly meeting: Meeting;
  private readonly timer: NodeJS.Timeout;

  constructor(
    name: string,
    word: string | null,
    begins: 'lead' | 'join',
    more: { address?: BrokerAddress; port?: number } = {},
  ) {
    this.band = newBand({ name, part: 'bass' });
    const seat = newSeat();
    this.meeting = openMeeting({
      word,
      seat,
      address: more.address ?? null,
      port: more.port ?? null,
      ca: null,
      begins,
      name,
      lastWord: () => will(seat.id),
      onEvent: (event) => this.hear(event),
    });
    this.timer = setInterval(() => this.obey(bandPlayed(this.band, firstSession, hrtimeMs())), 100);
  }

  private hear(event: MeetingEvent): void {
    this.events.push(event);
    if (event.kind === 'met' || event.kind === 'notice') return;
    const first = event.kind === 'up' && this.band.id === null && this.leadsAtOnce;
    this.obey(
      steps(bandHeard(this.band, event, hrtimeMs()), (now) => (first ? lead(now, hrtimeMs()) : quiet(now))),
    );
  }

  leadsAtOnce = false;

  takeLead(): void {
    this.obey(lead(this.band, hrtimeMs()));
  }

  private obey({ band, publishes, subscribes }: BandStep): void {
    const before = leads(this.band);
    this.band = band;
    this.meeting.subscribe(subscribes);
    for (const { topic, payload, retain, qos } of publishes)
      this.meeting.publish(topic, payload, { retain, qos });
    if (leads(band) !== before) this.meeting.setLeads(!before);
  }

  /** The id of the leader, as this stand knows it. */
  get leader(): string | null {
    return leaderId(this.band);
  }

  get carries(): number {
    return this.events.filter((event) => event.kind === 'met' && event.place.carried).length;
  }

  notices(): string {
    return this.events.flatMap((event) => (event.kind === 'notice' ? [event.sentence] : [])).join('\n');
  }

  async close(): Promise<void> {
    clearInterval(this.timer);
    await this.meeting.close();
  }
}

const stands: Stand[] = [];
afterEach(async () => {
  await Promise.all(stands.splice(0).map((stand) => stand.close()));
});
function come(...how: ConstructorParameters<typeof Stand>): Stand {
  const stand = new Stand(...how);
  stand.leadsAtOnce = how[2] === 'lead';
  stands.push(stand);
  return stand;
}

function at(port: number): { address: BrokerAddress } {
  const read = readAddress(`mqtt://127.0.0.1:${port}`);
  if (!read.ok) throw new Error(read.fault.message);
  return { address: read.value };
}

describe('where a band meets', () => {
  it('makes a word where none is given, tells the place, and ends within its time', async () => {
    const leader = come('Ansa', null, 'lead', { port: await freePort() });
    expect(await until(() => leader.leader === leader.meeting.id, 15_000)).toBe(true);
    const met = leader.events.find((event) => event.kind === 'met');
    expect(met).toMatchObject({
      place: {
        carried: true,
        word: expect.stringMatching(/^([a-z]{4}-){3}[a-z]{4}$/),
        address: expect.stringMatching(/^mqtt:\/\/.+:\d+$/),
      },
    });
    const began = Date.now();
    await leader.close();
    expect(Date.now() - began).toBeLessThan(5000);
  });

  it('has another hear what is for the leader at the same broker once it leads', async () => {
    const word = freshWord();
    const port = await freePort();
    const ansa = come('Ansa', word, 'lead', { port });
    expect(await until(() => leads(ansa.band), 15_000)).toBe(true);
    const bert = come('Bert', word, 'join', at(port));
    expect(await until(() => bert.leader === ansa.meeting.id, 15_000)).toBe(true);
    bert.takeLead();
    expect(await until(() => ansa.leader === bert.meeting.id)).toBe(true);
    // A clock's question, which the broker lets the leader alone hear.
    const questions = () =>
      bert.events.filter((event) => event.kind === 'message' && event.topic[0] === 'clock');
    expect(await until(() => questions().length > 0)).toBe(true);
  });

  it('says that a port is taken, and comes to nothing else', async () => {
    const port = await freePort();
    const word = freshWord();
    const one = come('Ansa', word, 'lead', { port });
    expect(await until(() => leads(one.band), 15_000)).toBe(true);
    const other = come('Bert', freshWord(), 'lead', { port });
    expect(await until(() => other.events.length > 0, 15_000)).toBe(true);
    expect(other.events).toEqual([
      { kind: 'refused', reason: expect.stringContaining(`port ${port} is in use by another program`) },
    ]);
  });

  it.skipIf(!carriesMulticast())(
    'goes on at the broker of whoever leads next, and the old leader finds it (needs multicast)',
    async () => {
      const word = freshWord();
      const port = await freePort();
      const ansa = come('Ansa', word, 'lead', { port });
      expect(await until(() => leads(ansa.band), 15_000)).toBe(true);
      const bert = come('Bert', word, 'join', at(port));
      const cleo = come('Cleo', word, 'join');
      expect(
        await until(() => bert.leader === ansa.meeting.id && cleo.leader === ansa.meeting.id, 20_000),
      ).toBe(true);
      await ansa.close();
      expect(await until(() => !bert.band.up && !cleo.band.up, 10_000)).toBe(true);
      bert.takeLead();
      expect(await until(() => bert.carries === 1 && bert.band.up, 20_000)).toBe(true);
      expect(await until(() => cleo.band.up && cleo.leader === bert.meeting.id, 20_000)).toBe(true);
      // It comes back with a broker of its own and leads: until it has heard of the other.
      const again = come('Ansa', word, 'lead', { port });
      expect(await until(() => again.leader === bert.meeting.id && again.band.up, 30_000)).toBe(true);
      expect(again.notices()).toContain('another stand runs the band’s broker now');
      expect(leads(bert.band) && !leads(again.band)).toBe(true);
      again.takeLead();
      expect(await until(() => [bert, cleo].every((one) => one.leader === again.meeting.id), 10_000)).toBe(
        true,
      );
    },
  );
});
