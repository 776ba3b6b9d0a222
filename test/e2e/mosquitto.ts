import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { until } from './harness.js';

const program = ['/usr/sbin/mosquitto', '/usr/local/sbin/mosquitto', '/usr/bin/mosquitto'].find((path) =>
  existsSync(path),
);

/** Whether there is a broker to be started, and what makes certificates. */
export const hasMosquitto = program !== undefined && existsSync('/usr/bin/openssl');

/** A port that is free now. */
export async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  return address && typeof address === 'object' ? address.port : 0;
}

/** Makes an authority of one's own, and a certificate of it for 127.0.0.1 and localhost; answers the authority's file. */
export function makeAuthority(folder: string): string {
  const run = (...words: string[]): void =>
    void execFileSync('openssl', words, { cwd: folder, stdio: 'ignore' });
  const key = ['-newkey', 'rsa:2048', '-nodes', '-keyout'];
  run('req', '-x509', ...key, 'ca.key', '-out', 'ca.crt', '-days', '2', '-subj', '/CN=Test authority');
  run('req', ...key, 'server.key', '-out', 'server.csr', '-subj', '/CN=stage');
  writeFileSync(join(folder, 'names'), 'subjectAltName=IP:127.0.0.1,DNS:localhost\n');
  run(
    'x509',
    '-req',
    '-in',
    'server.csr',
    '-CA',
    'ca.crt',
    '-CAkey',
    'ca.key',
    '-CAcreateserial',
    '-out',
    'server.crt',
    '-days',
    '2',
    '-extfile',
    'names',
  );
  return join(folder, 'ca.crt');
}

/** A real broker with a user `ann` (password `s@ng`): one port plain, one with TLS. */
export class Mosquitto {
  private child: ChildProcess | null = null;
  private said = '';

  private constructor(
    private readonly folder: string,
    readonly plain: number,
    readonly tls: number,
  ) {}

  static async open(folder: string): Promise<Mosquitto> {
    const one = new Mosquitto(folder, await freePort(), await freePort());
    const passwords = join(folder, 'passwords');
    execFileSync('mosquitto_passwd', ['-c', '-b', passwords, 'ann', 's@ng'], { stdio: 'ignore' });
    writeFileSync(
      join(folder, 'mosquitto.conf'),
      [
        // It would otherwise become a user who may not read what the test wrote.
        ...(process.getuid?.() === 0 ? ['user root'] : []),
        'allow_anonymous false',
        `password_file ${passwords}`,
        `listener ${one.plain} 127.0.0.1`,
        `listener ${one.tls} 127.0.0.1`,
        `certfile ${join(folder, 'server.crt')}`,
        `keyfile ${join(folder, 'server.key')}`,
        '',
      ].join('\n'),
    );
    await one.start();
    return one;
  }

  async start(): Promise<void> {
    this.said = '';
    const child = spawn(program as string, ['-v', '-c', join(this.folder, 'mosquitto.conf')], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.child = child;
    for (const stream of [child.stdout, child.stderr])
      stream?.on('data', (data: Buffer) => {
        this.said += data;
      });
    if (!(await until(() => /running/.test(this.said)))) throw new Error(`no broker: ${this.said}`);
  }

  async stop(): Promise<void> {
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = new Promise((resolve) => child.once('exit', resolve));
    child.kill('SIGKILL');
    await gone;
  }
}
