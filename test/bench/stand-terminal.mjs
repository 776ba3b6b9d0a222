// Programs on terminals of their own, for the bench of the stand: what they write there, when it arrives, when they end.
// There is no terminal emulator: what is written is counted and thrown away, so that nobody's drawing takes from the cores.
import { execFileSync, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

export const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/*
 * Opens the terminal and gives it its size before the program is there, so that nothing need be waited for; notes the time
 * and starts the program. Tells, a line each: "start NS PID", "out NS BASE64" for what the program wrote, "pipe NS BASE64"
 * for what came through the named pipe, "end NS STATUS". All times are of the monotonic clock, the same as process.hrtime's,
 * and are taken when the kernel says that there is something to read, before it is read. What comes on stdin is typed.
 * When stdin ends the terminal is hung up, and what does not end by that is killed.
 */
const helper = `
import base64, fcntl, os, pty, select, signal, struct, sys, termios, time
columns, rows, pipe = int(sys.argv[1]), int(sys.argv[2]), sys.argv[3]
def tell(kind, at, what):
    os.write(1, ("%s %d %s\\n" % (kind, at, what)).encode())
master, slave = pty.openpty()
fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
piped = os.open(pipe, os.O_RDWR | os.O_NONBLOCK) if pipe else -1
start = time.monotonic_ns()
pid = os.fork()
if pid == 0:
    os.close(master)
    os.login_tty(slave)
    os.execvp(sys.argv[4], sys.argv[4:])
os.close(slave)
tell("start", start, pid)
reading = [master, 0] + ([piped] if pipe else [])
while master in reading:
    ready, _, _ = select.select(reading, [], [])
    at = time.monotonic_ns()
    if piped in ready:
        tell("pipe", at, base64.b64encode(os.read(piped, 65536)).decode())
    if master in ready:
        try:
            data = os.read(master, 65536)
        except OSError:
            data = b""
        if data:
            tell("out", at, base64.b64encode(data).decode())
        else:
            reading.remove(master)
    if 0 in ready:
        keys = os.read(0, 4096)
        if keys:
            os.write(master, keys)
        else:
            break
if master not in reading:
    _, status = os.waitpid(pid, 0)
    tell("end", time.monotonic_ns(), os.waitstatus_to_exitcode(status))
else:
    os.close(master)
    for tries in range(300):
        if os.waitpid(pid, os.WNOHANG)[0]:
            break
        time.sleep(0.01)
    else:
        os.kill(pid, signal.SIGKILL)
`;

/** Those that have not ended. */
const living = new Set();

/** Ends whatever still runs; resolves when all have gone. */
export async function endAll() {
  await Promise.all([...living].map((one) => one.hangUp()));
}

/** A program running on a terminal. */
export class Running {
  /** What it wrote: each piece with the time at which it arrived, ns. */
  outputs = [];
  /** What came through the pipe. */
  arrivals = [];
  pid = null;
  started = null;
  ended = null;
  status = null;

  constructor(folder, words, { columns = 140, rows = 45, env = {}, pipe = '' } = {}) {
    const home = mkdtempSync(join(folder, 'home-'));
    for (const name of ['state', 'config', 'data']) mkdirSync(join(home, name));
    this.helper = spawn('python3', ['-c', helper, String(columns), String(rows), pipe, ...words], {
      // Nothing else of the caller's: neither CI nor settings of the locale or of Node.
      env: {
        PATH: process.env.PATH,
        HOME: home,
        TERM: 'xterm-256color',
        LANG: 'C.UTF-8',
        XDG_STATE_HOME: join(home, 'state'),
        XDG_CONFIG_HOME: join(home, 'config'),
        XDG_DATA_HOME: join(home, 'data'),
        ...env,
      },
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    this.helper.stdin.on('error', () => {});
    living.add(this);
    this.gone = new Promise((resolve) => this.helper.on('close', resolve)).then(() => living.delete(this));
    let rest = '';
    this.helper.stdout.on('data', (data) => {
      const lines = (rest + data).split('\n');
      rest = lines.pop();
      for (const line of lines) this.take(...line.split(' '));
    });
  }

  take(kind, time, what) {
    const at = BigInt(time);
    if (kind === 'start') {
      this.started = at;
      this.pid = Number(what);
    } else if (kind === 'end') {
      this.ended = at;
      this.status = Number(what);
    } else (kind === 'out' ? this.outputs : this.arrivals).push({ at, data: Buffer.from(what, 'base64') });
  }

  type(keys) {
    this.helper.stdin.write(keys);
  }

  /** When all that is wanted had been written, ns. */
  async shows(...wanted) {
    let seen = 0;
    let text = '';
    for (const end = Date.now() + 30_000; Date.now() < end; await pause(5)) {
      while (seen < this.outputs.length) {
        const { at, data } = this.outputs[seen];
        // Every byte a character: words to look for are plain ASCII.
        text += data.toString('latin1');
        seen += 1;
        if (wanted.every((one) => text.includes(one))) return at;
      }
      if (this.ended !== null) break;
    }
    throw new Error(`this was never written: ${wanted.join(', ')}`);
  }

  /** Leaves it by a key, or whatever way is needed; resolves when it has gone. */
  async leave(key = 'q') {
    this.type(key);
    await Promise.race([this.gone, pause(4000)]);
    await this.hangUp();
  }

  async hangUp() {
    this.helper.stdin.end();
    await this.gone;
  }
}

/** The kernel counts processor time in ticks, most often of 10 ms. */
const tickMs = 1000 / Number(execFileSync('getconf', ['CLK_TCK'], { encoding: 'utf8' }));

/** The processor time used so far by a process, all its threads together, or by one of its threads, ms. */
export function processorMs(pid, thread) {
  const stat = readFileSync(
    thread === undefined ? `/proc/${pid}/stat` : `/proc/${pid}/task/${thread}/stat`,
    'utf8',
  );
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return (Number(fields[11]) + Number(fields[12])) * tickMs;
}

/** The same exactly, as the scheduler counts it; threads that have ended are not in it. */
export function exactMs(pid, thread) {
  const threads = thread === undefined ? readdirSync(`/proc/${pid}/task`) : [thread];
  return threads.reduce(
    (sum, one) =>
      sum + Number(readFileSync(`/proc/${pid}/task/${one}/schedstat`, 'utf8').split(' ')[0]) / 1e6,
    0,
  );
}

/** The processor time used so far by everything on this machine, ms. */
export function machineMs() {
  const [user, nice, system, , , interrupts, soft] = readFileSync('/proc/stat', 'utf8')
    .split('\n')[0]
    .split(/\s+/)
    .slice(1)
    .map(Number);
  return (user + nice + system + interrupts + soft) * tickMs;
}

/** The memory that a process has in use, MiB. Pages shared by two processes count for both. */
export function memoryMiB(pid) {
  return (
    Number(/^VmRSS:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? Number.NaN) / 1024
  );
}
