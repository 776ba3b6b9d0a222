// A process of the bench band: a stand that leads (with the band's broker in a process of its own) or follows, with a player of its own, or many that follow
// without one. Its first argument says which, as JSON. It does what the bench tells it over the channel, and says what has come.
import { leads, newBand } from '../../dist/band/band.js';
import { bandHeard } from '../../dist/band/hear.js';
import { bandPlayed, bandWake, forBand } from '../../dist/band/play.js';
import { lead, shareSet, will } from '../../dist/band/say.js';
import { readChart } from '../../dist/chart/read.js';
import { mandolin } from '../../dist/hand/instrument.js';
import { readAddress } from '../../dist/link/address.js';
import { openBroker } from '../../dist/link/broker.js';
import { openLink } from '../../dist/link/client.js';
import { bandKeys } from '../../dist/link/keys.js';
import { newSeat } from '../../dist/link/seat.js';
import { arranged, settled } from '../../dist/playback/arranging.js';
import { heard } from '../../dist/playback/heard.js';
import { sectionAgain } from '../../dist/playback/jumps.js';
import { nextBeatTime } from '../../dist/playback/next-beat.js';
import { readyAt } from '../../dist/playback/performance.js';
import { firstSession, inTurn, unmoved, withSetup } from '../../dist/playback/session.js';
import { setupOf } from '../../dist/playback/setup.js';
import { clock, playOrPause } from '../../dist/playback/transport.js';
import { PlayerClient } from '../../dist/player/client.js';
import { hrtimeMs } from '../../dist/player/host.js';
import { keyName, transposeKey } from '../../dist/theory/key.js';
import { arrange } from '../../dist/time/arrange.js';
import { usualClick } from '../../dist/time/click.js';
import { usualMix, usualSound } from '../../dist/time/sound.js';

const options = JSON.parse(process.argv[2]);
const { role, host, port, word, out = null, count = 1, broker: external = null } = options;
const address = external
  ? readAddress(external).value
  : { host, port, tls: false, user: null, password: null };
const keys = await bandKeys(word);

/** A chart as a stand is set up with it. */
const ready = (chart, more = {}) =>
  readyAt(
    setupOf(chart, {
      sound: usualSound,
      mix: usualMix,
      click: usualClick,
      pattern: null,
      patterns: [],
      ramp: null,
      key: chart.key,
      bpm: chart.tempo.bpm,
      countIn: 1,
      passes: null,
      range: null,
      from: 0,
      instrument: mandolin,
      plan: {},
      ...more,
    }),
    0,
  );

/** Says something to the bench, as long as it is there. */
const say = (message) => process.connected && process.send(message);

/** What of the music all must agree on, as a text. */
function stateOf({ session, band }) {
  const { setup, jump } = session.performance ?? {};
  if (!setup) return '';
  const shift = leads(band) ? band.led.shift : band.follower.shift;
  const last = jump ? jump.ticks.at(-1) - shift : 'none';
  return `${keyName(setup.key)} ${setup.bpm} ${setup.passes} ${last}`;
}

/** A whole stand. Without a player it hears and answers as one that has not begun to play. */
class Stand {
  band;
  session = firstSession;
  seat = newSeat();
  heard = 0;
  sent = 0;
  state = '';
  placed = '';
  #timer = null;
  #looker = null;
  #player = null;
  #looked = 0;

  constructor(name, plays, seat = newSeat(), leaderPassword = null) {
    this.seat = seat;
    this.band = newBand({ name, part: 'mandolin' });
    if (plays) {
      this.#player = new PlayerClient((message) => {
        if (message.kind === 'lateness') say({ kind: 'lateness', report: message.report });
        else this.play((session, at) => heard(session, message, at));
      });
      this.#player.open([out === null ? { kind: 'none' } : { kind: 'raw', path: out }]);
    }
    this.link = openLink({
      address,
      keys,
      seat,
      leaderPassword,
      lastWord: () => will(seat.id),
      onEvent: (event) => {
        if (event.kind === 'message') this.heard += 1;
        if (event.kind === 'refused') say({ kind: 'refused', reason: event.reason });
        this.act((band, at) => bandHeard(band, event, at));
      },
    });
  }

  act(by) {
    this.#obey(by(this.band, hrtimeMs()));
    this.play(unmoved);
  }

  play(step) {
    const at = hrtimeMs();
    this.#take(inTurn(step(this.session, at), (now) => settled(now, at)));
    const joined = bandPlayed(this.band, this.session, at);
    this.#obey(joined);
    this.#take(inTurn(joined.played, (now) => settled(now, at)));
    this.#wakeLater();
    this.#lookLater();
    this.#tell();
  }

  lateness() {
    this.#player.send({ kind: 'lateness' });
  }

  async end() {
    clearTimeout(this.#timer);
    clearTimeout(this.#looker);
    this.#player?.send({ kind: 'pause' });
    await this.#player?.quit();
    await this.link.close();
  }

  #take({ session, commands }) {
    this.session = session;
    for (const command of forBand(this.band, commands)) this.#perform(command);
  }

  #obey({ band, publishes, subscribes, events }) {
    this.band = band;
    if (subscribes.length > 0) this.link.subscribe(subscribes);
    for (const { topic, payload, retain, qos } of publishes) {
      this.sent += 1;
      this.link.publish(topic, payload, { retain, qos });
    }
    for (const event of events)
      if (event.kind === 'song') this.session = { ...this.session, performance: ready(event.song.chart) };
  }

  #perform(command) {
    if (command.kind === 'arrange') {
      // Who only hears arranges nothing: that is each machine's own affair.
      if (!this.#player) return;
      const arrangement = arrange(command.chart, command.options);
      setImmediate(() => this.play((session, at) => arranged(session, command.id, arrangement, at)));
    } else if (command.kind === 'append') this.#player?.append(command.segments);
    else if (command.kind === 'replace') this.#player?.replace(command.tick, command.segments);
    else if (command.kind === 'levels') this.#player?.setLevels(command.levels, command.gear);
    else this.#player?.send(command.message);
  }

  #wakeLater() {
    clearTimeout(this.#timer);
    const wake = bandWake(this.band, this.session);
    if (!Number.isFinite(wake)) return;
    this.#timer = setTimeout(() => this.play(unmoved), Math.max(1, Math.ceil(wake - hrtimeMs())));
  }

  #lookLater() {
    clearTimeout(this.#looker);
    const beat = nextBeatTime(this.session, this.#looked);
    if (beat === null) return;
    this.#looker = setTimeout(
      () => {
        this.#looked = hrtimeMs();
        this.play(clock);
      },
      Math.min(500, Math.max(5, beat - hrtimeMs() + 1)),
    );
  }

  /** The bench is told what has changed. */
  #tell() {
    if (count > 1) return;
    const state = stateOf(this);
    if (state !== this.state) say({ kind: 'state', state });
    this.state = state;
    const { link, performance } = this.session;
    const placed = `${link.state} ${performance?.cursor.pass ?? 0}`;
    if (placed !== this.placed) say({ kind: 'placed', state: link.state });
    this.placed = placed;
  }
}

/** Opens the band's broker, where this stand carries it. */
async function openOwn(seat) {
  if (external) return null;
  let broker = null;
  await new Promise((resolve, reject) => {
    broker = openBroker({
      keys,
      seat,
      port,
      host,
      onEvent: (event) => {
        if (event.kind === 'listening') resolve();
        if (event.kind === 'failed') reject(new Error(event.sentence));
      },
    });
  });
  return broker;
}

const stands = [];
let broker = null;
if (role === 'lead') {
  const seat = newSeat();
  broker = await openOwn(seat);
  const stand = new Stand('leader', options.plays ?? true, seat, broker?.leaderPassword ?? null);
  stands.push(stand);
  const read = readChart(new TextEncoder().encode(options.song));
  if (!read.ok) throw new Error(read.faults[0]?.message);
  stand.play((session) => unmoved({ ...session, performance: ready(read.value, options.setup) }));
  const begin = setInterval(() => {
    if (!stand.band.up) return;
    clearInterval(begin);
    stand.act(lead);
    if (options.set) stand.act((band, at) => shareSet(band, options.set, at));
    say({ kind: 'leads', leads: leads(stand.band) });
  }, 10);
} else {
  say({ kind: 'opening' });
  // Not all at the same moment: a broker lets in so many at once.
  for (let index = 0; index < count; index += 1) {
    stands.push(new Stand(`stand ${index + 1}`, options.plays ?? false));
    if (index % 10 === 9) await new Promise((resolve) => setTimeout(resolve, 100));
  }
  const look = setInterval(() => {
    if (!stands.every(({ band }) => band.up && band.now !== null && band.clock?.line)) return;
    clearInterval(look);
    say({ kind: 'joined' });
  }, 20);
}

/** What came and went until now, of all stands here. */
function account() {
  const cpu = process.cpuUsage();
  const traffic = stands.map(({ link }) => link.traffic());
  return {
    kind: 'account',
    pid: process.pid,
    cpuMs: (cpu.user + cpu.system) / 1000,
    messages: stands.reduce((sum, { heard, sent }) => sum + heard + sent, 0),
    bytes: traffic.reduce((sum, { received, sent }) => sum + received + sent, 0),
    up: stands.filter(({ band }) => band.up).length,
    led: stands.filter(({ band }) => band.now !== null).length,
  };
}

const does = {
  start: () => stands[0].play((session) => playOrPause(session)),
  again: () => stands[0].play(sectionAgain),
  key: () =>
    stands[0].play((session) =>
      unmoved(withSetup(session, { key: transposeKey(session.performance.setup.key, 1) })),
    ),
  tempo: () =>
    stands[0].play((session) => unmoved(withSetup(session, { bpm: session.performance.setup.bpm + 1 }))),
  lateness: () => stands[0].lateness(),
  account: () => say(account()),
  async end() {
    await Promise.all(stands.map((stand) => stand.end()));
    await broker?.close();
    process.exit(0);
  },
};
process.on('message', (what) => does[what]?.());
process.on('disconnect', () => void does.end());
