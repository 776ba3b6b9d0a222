import { type ChildProcess, spawn } from 'node:child_process';
import { pause } from '../e2e/harness.js';

/*
 * Opens a pseudo-terminal of the size that is asked for and runs a program on it as the leader of its session. Tells, a line
 * each: "pid N", "out BASE64", "end STATUS" (below 0: minus the signal). Obeys, a line each: "keys BASE64", "read 0" and
 * "read 1" (a terminal that stops reading, and reads on), "size COLUMNS ROWS", "hang" (the terminal is closed).
 */
const helper = `
import base64, fcntl, os, pty, select, signal, struct, sys, termios
columns, rows = int(sys.argv[1]), int(sys.argv[2])
def tell(words):
    os.write(1, (words + "\\n").encode())
def size(columns, rows):
    fcntl.ioctl(master, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
master, slave = pty.openpty()
size(columns, rows)
pid = os.fork()
if pid == 0:
    os.close(master)
    os.login_tty(slave)
    os.execvp(sys.argv[3], sys.argv[3:])
os.close(slave)
os.set_blocking(master, False)
tell("pid %d" % pid)
hears, open_, rest, keys = True, True, b"", b""
while True:
    watched = [0] + ([master] if open_ and hears else [])
    ready, writable, _ = select.select(watched, [master] if open_ and keys else [], [], 0.05)
    if master in writable:
        try:
            keys = keys[os.write(master, keys):]
        except BlockingIOError:
            pass
        except OSError:
            keys = b""
    if master in ready:
        try:
            data = os.read(master, 65536)
        except BlockingIOError:
            data = None
        except OSError:
            data = b""
        if data:
            tell("out " + base64.b64encode(data).decode())
        elif data is not None:
            os.close(master)
            open_ = False
    if 0 in ready:
        got = os.read(0, 65536)
        if not got:
            break
        rest += got
        *lines, rest = rest.split(b"\\n")
        for line in lines:
            word, *more = line.decode().split(" ")
            if word == "keys":
                keys += base64.b64decode(more[0])
            elif word == "read":
                hears = more[0] == "1"
            elif word == "size" and open_:
                size(int(more[0]), int(more[1]))
            elif word == "hang" and open_:
                os.close(master)
                open_ = False
    gone, status = os.waitpid(pid, os.WNOHANG)
    if gone:
        while open_ and hears:
            try:
                data = os.read(master, 65536)
            except OSError:
                break
            if not data:
                break
            tell("out " + base64.b64encode(data).decode())
        tell("end %d" % os.waitstatus_to_exitcode(status))
        break
try:
    os.kill(pid, signal.SIGKILL)
except ProcessLookupError:
    pass
`;

/** How a program is started on a terminal. */
export interface TerminalOptions {
  readonly columns?: number;
  readonly rows?: number;
  readonly env?: NodeJS.ProcessEnv;
  readonly cwd?: string;
  /** What TERM says; `null` leaves it unset. */
  readonly term?: string | null;
}

/** A program on a pseudo-terminal that can misbehave: stop reading, change its size, vanish. */
export class Terminal {
  /** The bytes that the program has written to the terminal, one character a byte. */
  bytes = '';
  /** The program's process, once it runs. */
  pid: number | null = null;
  /** Its exit status, below 0 minus the signal that ended it; `null` while it runs. */
  status: number | null = null;
  private readonly helper: ChildProcess;
  private readonly gone: Promise<void>;

  constructor(words: readonly string[], options: TerminalOptions = {}) {
    const { columns = 100, rows = 30, env = process.env, cwd, term = 'xterm-256color' } = options;
    const { TERM: _, ...others } = env;
    this.helper = spawn('python3', ['-c', helper, String(columns), String(rows), ...words], {
      env: term === null ? others : { ...others, TERM: term },
      stdio: ['pipe', 'pipe', 'inherit'],
      ...(cwd === undefined ? {} : { cwd }),
    });
    this.helper.stdin?.on('error', () => {});
    this.gone = new Promise((resolve) => this.helper.on('close', () => resolve()));
    let rest = '';
    this.helper.stdout?.on('data', (data: Buffer) => {
      const lines = (rest + data.toString('latin1')).split('\n');
      rest = lines.pop() ?? '';
      for (const line of lines) this.take(line);
    });
  }

  /** What the program has written, as text. */
  get text(): string {
    return Buffer.from(this.bytes, 'latin1').toString('utf8');
  }

  /** Types keys. */
  type(keys: string): void {
    this.tell(`keys ${Buffer.from(keys, 'utf8').toString('base64')}`);
  }

  /** The terminal reads what is written to it, or no longer does. */
  reads(on: boolean): void {
    this.tell(`read ${on ? 1 : 0}`);
  }

  resize(columns: number, rows: number): void {
    this.tell(`size ${columns} ${rows}`);
  }

  /** The terminal is closed. */
  hangUp(): void {
    this.tell('hang');
  }

  /** Waits until the program has written something, or has ended; answers whether it was written. */
  async shows(wanted: string | RegExp, ms = 20_000): Promise<boolean> {
    const there = (): boolean =>
      typeof wanted === 'string' ? this.text.includes(wanted) : wanted.test(this.text);
    for (const end = Date.now() + ms; Date.now() < end && this.status === null; await pause(20))
      if (there()) return true;
    return there();
  }

  /** Waits until the program has ended; answers its status, `null` when it has not. */
  async ends(ms = 10_000): Promise<number | null> {
    for (const end = Date.now() + ms; Date.now() < end && this.status === null; ) await pause(10);
    return this.status;
  }

  /** Ends everything. */
  async close(): Promise<void> {
    this.helper.stdin?.end();
    await this.gone;
  }

  private tell(words: string): void {
    this.helper.stdin?.write(`${words}\n`);
  }

  private take(line: string): void {
    const [kind, what = ''] = line.split(' ');
    if (kind === 'pid') this.pid = Number(what);
    else if (kind === 'end') this.status = Number(what);
    else if (kind === 'out') this.bytes += Buffer.from(what, 'base64').toString('latin1');
  }
}
