// What the system says of the processes that a band consists of.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';

const tickMs = 1000 / Number(execFileSync('getconf', ['CLK_TCK'], { encoding: 'utf8' }));

/** The process of the broker that a stand carries. */
export function brokerOf(pid) {
  return Number(execFileSync('pgrep', ['-P', `${pid}`, '-f', 'link/broker/process'], { encoding: 'utf8' }));
}

/** Processor time that a process took until now, ms. */
export function takenMs(pid) {
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1].split(' ');
  return (Number(fields[11]) + Number(fields[12])) * tickMs;
}
