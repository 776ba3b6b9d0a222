// What twenty-five followers cost a leader: its share of a core and its broker's, bytes a second, and whether its player is later for them.
import { brokerOf, takenMs } from './band-processes.mjs';
import { stand } from './band-wire.mjs';
import { pause } from './clock-tools.mjs';

const many = 25;
const settleMs = 35_000;

/** The leader plays for a while with so many followers. */
async function led(followers, seconds, { port, word, song }) {
  const common = { word, port, host: '127.0.0.1' };
  const leader = stand([], { ...common, role: 'lead', plays: true, song });
  await leader.next('leads');
  const others = followers > 0 ? stand([], { ...common, role: 'join', count: followers }) : null;
  leader.tell('start');
  await leader.wait('music', ({ kind, state }) => kind === 'placed' && state === 'running');
  if (others) await others.next('joined', 60_000);
  // Clocks are asked quickly at first.
  if (others && seconds > 10) await pause(settleMs);
  const broker = brokerOf(leader.pid());
  const [before, theirs, brokerBefore] = [await leader.account(), await others?.account(), takenMs(broker)];
  await pause(1000 * seconds);
  const [after, their, brokerAfter] = [await leader.account(), await others?.account(), takenMs(broker)];
  leader.tell('lateness');
  const { report } = await leader.next('lateness');
  await others?.end();
  await leader.end();
  const ms = after.at - before.at;
  return {
    late: report.p99,
    leader: (100 * (after.cpuMs - before.cpuMs)) / ms,
    broker: (100 * (brokerAfter - brokerBefore)) / ms,
    // Everything that goes through the broker, as the stands at its ends see it.
    kilobytes: (after.bytes - before.bytes + (their?.bytes ?? 0) - (theirs?.bytes ?? 0)) / ms,
  };
}

/** Rows `[what, value, unit, goal]` and figures. */
export async function benchLoad(quick, parts) {
  const seconds = quick ? 0.5 : 45;
  const alone = await led(0, seconds, parts);
  const all = await led(many, seconds, parts);
  return {
    rows: [
      [`${many} followers at 240 bpm: leader, % of a core`, all.leader, '%'],
      ['leader without followers, % of a core', alone.leader, '%'],
      [`${many} followers: broker, % of a core`, all.broker, '%'],
      [`${many} followers: leader and broker`, all.leader + all.broker, '%', 10],
      [`${many} followers: bytes through the broker`, all.kilobytes, 'kB/s', 100],
      ['the leader’s player late, p99, alone', alone.late, 'ms'],
      [`the leader’s player late, p99, ${many} followers`, all.late, 'ms'],
    ],
    figures: {
      loadLeader: all.leader,
      loadLeaderAlone: alone.leader,
      loadBroker: all.broker,
      loadKilobytes: all.kilobytes,
      loadLateAlone: alone.late,
      loadLate: all.late,
    },
  };
}
