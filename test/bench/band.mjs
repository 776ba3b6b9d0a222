// npm run bench -- band [--quick]: how close together a band plays over wires as on a stage and through the air, how soon a change, a late joiner and a stand
// that had lost the network are in place, and what it costs. Stands are processes, on two machines of the bench where the system lets us make them (`band-wire.mjs`).
import { readFileSync, writeFileSync } from 'node:fs';
import { loadavg } from 'node:os';
import { join } from 'node:path';
import { benchCamp } from './band-camp.mjs';
import { apartOf, clicksOf, gapsOf, hangingOf, percentile } from './band-clicks.mjs';
import { benchLoad } from './band-load.mjs';
import { command, freePort, openWay, stand, ways } from './band-wire.mjs';
import { cleanEnv, compile, openPipe, pause, program, until, workFolder } from './clock-tools.mjs';

const port = await freePort();
const word = 'kolatirubamosidu';

/** A chart of so many bars at a tempo. */
const chart = (title, bars, bpm) =>
  `title: ${title}\nkey: G\ntempo: ${bpm}\nmeter: 4/4\nform: V\nsections:\n  V: |\n${Array.from({ length: bars }, (_, bar) => `    ${[1, 4, 1, 5][bar % 4]}\n`).join('')}`;

/** A row of the table: a figure, its goal, and whether it is reached. */
function row(what, value, unit, most = null) {
  const figure = `${value.toFixed(value < 10 ? 2 : 0)} ${unit}`;
  return {
    what,
    figure,
    goal: most === null ? '' : `≤ ${most} ${unit}`,
    holds: most === null ? '' : value <= most ? 'yes' : 'no',
  };
}

/**
 * A leader and followers, all by the program's own commands, each to a pipe. `meanwhile` is called when the leader's music has begun. Answers what came
 * through the pipes, the leader's first, and what the commands printed.
 */
async function playTogether({ way, followers, bpm, seconds, meanwhile = async () => {} }) {
  const folder = workFolder();
  const reader = compile('clock-reader', folder);
  const env = cleanEnv(folder);
  const line = await openWay(way, folder, port);
  const pipes = [];
  for (let index = 0; index <= followers; index += 1) pipes.push(await openPipe(folder, reader, 'poll'));
  const file = join(folder, 'song.yaml');
  writeFileSync(file, chart('Osier Steps', Math.round((seconds * bpm) / 60 / 4), bpm));
  const barkline = [process.execPath, program];
  const secret = { ...env, BARKLINE_WORD: word };
  const leader = command(
    [...line.lead, ...barkline],
    ['lead', file, '--plain', '--port', `${port}`, '--wait', `${followers}`, '--out', `raw:${pipes[0].path}`],
    secret,
  );
  await until(
    'the leader',
    () => leader.texts.out.includes('join address') || leader.child.exitCode !== null,
  );
  if (leader.child.exitCode !== null) throw new Error(`the leader ended: ${leader.texts.err}`);
  const others = pipes
    .slice(1)
    .map(({ path }) =>
      command(
        [...line.follow, ...barkline],
        [
          'join',
          `mqtt://${line.joinHost}:${line.joinPort}`,
          '--plain',
          '--part',
          'guitar',
          '--out',
          `raw:${path}`,
        ],
        secret,
      ),
    );
  await until(
    'the music',
    () => leader.texts.out.includes('count-in') || leader.child.exitCode !== null,
    30_000,
  );
  await meanwhile(line, { pipes, env: secret, barkline });
  const ends = await Promise.all([leader, ...others].map(({ done }) => done));
  const played = await Promise.all(pipes.map((pipe) => pipe.close()));
  line.close();
  const failed = ends.find(({ code }) => code !== 0);
  if (failed) throw new Error(`a stand ended with ${failed.code}: ${failed.err}`);
  return { kind: line.kind, ahead: line.ahead, ends, played };
}

/** Followers' clicks against the leader's. */
async function clicksTogether(way) {
  const { played, kind, ahead } = await playTogether({ way, followers: 3, bpm: 240, seconds: 60 });
  const [leader, ...others] = played.map(clicksOf);
  const apart = others.flatMap((clicks) => apartOf(leader, clicks));
  const missing = Math.max(...others.map((clicks) => leader.length - clicks.length));
  if (!(missing < leader.length / 4)) throw new Error(`of ${leader.length} clicks ${missing} are missing`);
  if (played.some((batches) => hangingOf(batches) > 0)) throw new Error('a note hangs');
  return { apart, kind, ahead, missing };
}

/** A link that is cut for a while, and comes back. The quick one also has the clicks before that. */
async function cutLink(quick) {
  const cutMs = quick ? 800 : 10_000;
  const times = {};
  const { played, kind, ahead } = await playTogether({
    way: quick ? ways.wired : ways.wireless,
    followers: 1,
    bpm: 240,
    seconds: quick ? 4 : 40,
    meanwhile: async (line) => {
      await pause(quick ? 2500 : 8000);
      times.cut = Number(process.hrtime.bigint()) / 1e6;
      line.cut();
      await pause(cutMs);
      line.mend();
      times.mended = Number(process.hrtime.bigint()) / 1e6;
    },
  });
  const [leader, other] = played.map(clicksOf);
  const behind = other.filter((time) => time > times.cut);
  const meanwhile = behind.filter((time) => time < times.mended + 4000);
  return {
    apart: Math.max(...apartOf(leader, meanwhile)),
    // By how much a beat was longer or shorter than a beat is.
    jump: Math.max(...gapsOf(behind).map((gap) => Math.abs(gap - 250))),
    missing: leader.filter((time) => time > times.cut && !other.some((one) => Math.abs(one - time) < 125))
      .length,
    hanging: hangingOf(played[1]),
    before: {
      apart: apartOf(
        leader,
        other.filter((time) => time < times.cut),
      ),
      missing: 0,
      kind,
      ahead,
    },
  };
}

/** A change that the leader makes, until the last of the others has it. */
async function changes(quick) {
  const folder = workFolder();
  const line = await openWay(ways.wireless, folder, port);
  const common = { word, port: line.joinPort, host: line.joinHost, plays: true };
  const song = chart('Osier Steps', 16, 120);
  const leader = stand(line.lead, { ...common, port, host: line.host, role: 'lead', song });
  await leader.next('leads');
  const others = Array.from({ length: quick ? 1 : 3 }, () => stand(line.follow, { ...common, role: 'join' }));
  for (const one of others) await one.next('joined');
  leader.tell('start');
  for (const one of [leader, ...others])
    await one.wait('music', ({ kind, state }) => kind === 'placed' && state === 'running');
  await pause(quick ? 300 : 4000);
  const took = [];
  const kinds = ['again', 'tempo', 'key'];
  for (let round = 0; round < (quick ? 3 : 90); round += 1) {
    for (const one of [leader, ...others]) one.forget();
    leader.tell(kinds[round % kinds.length]);
    const { state, at } = await leader.next('state');
    const heard = await Promise.all(
      others.map((one) =>
        one.wait(`${state} on a stand`, (said) => said.kind === 'state' && said.state === state),
      ),
    );
    took.push(...heard.map((one) => Math.max(0, one.at - at)));
    await pause(300 + 300 * Math.random());
  }
  for (const one of [...others, leader]) await one.end();
  line.close();
  return took;
}

/** Somebody who comes into the middle of a set of sixty songs, 8 000 bars in all. */
async function lateJoin(quick) {
  const folder = workFolder();
  const reader = compile('clock-reader', folder);
  const line = await openWay(ways.wireless, folder, port);
  const songs = Array.from({ length: 60 }, (_, index) => ({
    title: `Song number ${index + 1} of the evening`,
    key: 'G',
  }));
  const pipe = await openPipe(folder, reader, 'poll');
  const leader = stand(line.lead, {
    word,
    port,
    host: line.host,
    role: 'lead',
    plays: true,
    out: pipe.path,
    song: chart('Osier Steps', 136, 160),
    set: { title: 'Evening', songs, at: 12 },
  });
  await leader.next('leads');
  leader.tell('start');
  await leader.wait('music', ({ kind, state }) => kind === 'placed' && state === 'running');
  await pause(quick ? 300 : 3000);
  const took = [];
  const first = [];
  for (let round = 0; round < (quick ? 1 : 20); round += 1) {
    const own = await openPipe(folder, reader, 'poll');
    const other = stand(line.follow, {
      word,
      port: line.joinPort,
      host: line.joinHost,
      role: 'join',
      plays: true,
      out: own.path,
    });
    const { at } = await other.next('opening');
    const placed = await other.wait(
      'its place',
      ({ kind, state }) => kind === 'placed' && state === 'running',
    );
    took.push(placed.at - at);
    await pause(quick ? 700 : 1500);
    await other.end();
    first.push(clicksOf(await own.close()));
  }
  await leader.end();
  const clicks = clicksOf(await pipe.close());
  line.close();
  if (first.some(({ length }) => length === 0)) throw new Error('who joined late never clicked');
  return { took, apart: first.flatMap((one) => apartOf(clicks, one)) };
}

/** Runs the bench. */
export async function benchBand(quick) {
  const before = loadavg()[0];
  const say = (what) => quick || console.log(`… ${what}`);
  say('clicks');
  const early = quick ? await cutLink(quick) : null;
  const wired = early?.before ?? (await clicksTogether(ways.wired));
  const wireless = quick ? null : await clicksTogether(ways.wireless);
  say('changes');
  const changed = await changes(quick);
  say('late joiners');
  const late = await lateJoin(quick);
  say('a cut link');
  const cut = early ?? (await cutLink(quick));
  say('twenty-five followers');
  const load = await benchLoad(quick, { port, word, song: chart('Osier Steps', 64, 240) });
  say('a camp');
  const camp = await benchCamp(quick, { word, song: chart('Osier Steps', 64, 120) });
  const cores = readFileSync('/proc/cpuinfo', 'utf8').match(/^processor/gm)?.length ?? 0;
  console.log(
    `\nthe way between leader and others: ${wired.kind}; their monotonic clocks ${wired.ahead ? 'are apart by an hour and more' : 'are the same'}`,
  );
  console.log(
    `${cores} cores; load of a minute: ${before.toFixed(1)} before, ${loadavg()[0].toFixed(1)} behind`,
  );
  const rows = [
    row(`clicks apart, wired, p99 of ${wired.apart.length}`, percentile(wired.apart, 0.99), 'ms', 1),
    row('clicks apart, wired, at most', Math.max(...wired.apart), 'ms'),
    row('clicks that a follower did not play, wired', wired.missing, ''),
    ...(wireless
      ? [
          row(
            `clicks apart, wireless, p99 of ${wireless.apart.length}`,
            percentile(wireless.apart, 0.99),
            'ms',
            5,
          ),
          row('clicks apart, wireless, at most', Math.max(...wireless.apart), 'ms'),
          row('clicks that a follower did not play, wireless', wireless.missing, ''),
        ]
      : []),
    row(`a change on all stands, wireless, p95 of ${changed.length}`, percentile(changed, 0.95), 'ms', 100),
    row('a change on all stands, wireless, at most', Math.max(...changed), 'ms', 500),
    row(`late join, wireless, median of ${late.took.length}`, percentile(late.took, 0.5), 'ms', 1000),
    row('late join, wireless, at most', Math.max(...late.took), 'ms', 1000),
    row(`its first beats apart, p99 of ${late.apart.length}`, percentile(late.apart, 0.99), 'ms'),
    row('link cut at 240 bpm: apart at most', cut.apart, 'ms', 20),
    row('link cut at 240 bpm: a beat longer or shorter by', cut.jump, 'ms', 20),
    row('link cut at 240 bpm: beats missing, notes hanging', cut.missing + cut.hanging, '', 0),
    ...load.rows.map((one) => row(...one)),
    ...camp.rows.map((one) => row(...one)),
  ];
  // What is quick is too short to be judged.
  console.table(quick ? rows.map(({ what, figure }) => ({ what, figure })) : rows);
  return {
    wiredP99: percentile(wired.apart, 0.99),
    wiredMissing: wired.missing,
    ...(wireless ? { wirelessP99: percentile(wireless.apart, 0.99) } : {}),
    changeP95: percentile(changed, 0.95),
    changeMost: Math.max(...changed),
    lateMost: Math.max(...late.took),
    lateApart: percentile(late.apart, 0.99),
    cutApart: cut.apart,
    cutJump: cut.jump,
    cutMissing: cut.missing,
    ...load.figures,
    ...camp.figures,
  };
}
