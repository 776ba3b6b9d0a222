import { execFileSync } from 'node:child_process';
import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  cleanEnv,
  demo,
  hanging,
  noteOffs,
  noteOns,
  PipeReader,
  pause,
  playersMarked,
  program,
  settled,
  until,
} from '../e2e/harness.js';
import { goes, LazyReader, PlayerRig } from './player-rig.js';
import { Terminal } from './terminal.js';

let rig: PlayerRig;

beforeEach(() => {
  rig = new PlayerRig();
});
afterEach(() => {
  expect(rig.close()).toBe(0);
});

const ringing = ['--passes', '99', '--voices', 'all', '--tempo', '200'];

describe('the end', () => {
  it('of a program whose player is stopped: it goes within four seconds, and nothing sounds', async () => {
    const reader = new PipeReader(rig.path);
    const playing = await rig.play(...ringing, '--out', `raw:${reader.path}`);
    await until(() => noteOns(reader.arrivals()).length > 20);
    // It is stopped while something sounds.
    for (let tries = 0; tries < 50; tries += 1) {
      process.kill(playing.player, 'SIGSTOP');
      await settled(() => reader.arrivals(), 100);
      if (hanging(reader.arrivals()).length > 0) break;
      process.kill(playing.player, 'SIGCONT');
      await pause(70);
    }
    expect(hanging(reader.arrivals())).not.toStrictEqual([]);
    const from = Date.now();
    playing.child.kill('SIGTERM');
    expect(await playing.ended).toBe(143);
    expect(Date.now() - from).toBeLessThan(5000);
    await settled(() => reader.arrivals());
    expect(hanging(reader.arrivals())).toStrictEqual([]);
    reader.close();
  });

  it('of a player that is stopped for good while the program goes on: it is ended, and its notes with it', async () => {
    const reader = new PipeReader(rig.path);
    const playing = await rig.play(...ringing, '--out', `raw:${reader.path}`);
    await until(() => noteOns(reader.arrivals()).length > 20);
    process.kill(playing.player, 'SIGSTOP');
    expect(await goes(playing.player, 15_000)).toBeLessThan(12_000);
    expect(await playing.ended).toBe(3);
    expect(playing.err()).toContain('it stopped answering');
    await settled(() => reader.arrivals());
    expect(hanging(reader.arrivals())).toStrictEqual([]);
    reader.close();
  });

  it('with a pipe that is full: at once, and whoever reads on later hears no note without its end', async () => {
    const path = rig.pipe('full');
    const reader = new LazyReader(path);
    const playing = await rig.play(...ringing, '--send-clock', '--out', `raw:${path}`);
    await pause(1500);
    const heard = reader.read();
    expect(noteOns(heard).length).toBeGreaterThan(5);
    await pause(300);
    // Another writer fills what is left: active sensing, which is for nobody.
    execFileSync(process.execPath, [
      '-e',
      `const fs = require('node:fs');
       const fd = fs.openSync(process.argv[1], fs.constants.O_WRONLY | fs.constants.O_NONBLOCK);
       try { for (;;) fs.writeSync(fd, Buffer.alloc(512, 0xfe)); } catch {}
       try { for (;;) fs.writeSync(fd, Buffer.alloc(1, 0xfe)); } catch {}`,
      path,
    ]);
    expect(await until(() => playing.err().includes('is full'))).toBe(true);
    const from = Date.now();
    playing.child.kill('SIGTERM');
    expect(await playing.ended).toBe(143);
    expect(Date.now() - from).toBeLessThan(1500);
    heard.push(...reader.read());
    expect(hanging(heard)).toStrictEqual([]);
  });

  it('of two programs that share a pipe: each message is whole, and nothing hangs', async () => {
    const reader = new PipeReader(rig.path);
    const one = await rig.play(...ringing, '--send-clock', '--out', `raw:${reader.path}`);
    const two = await rig.play(...ringing, '--key', 'Bb', '--send-clock', '--out', `raw:${reader.path}`);
    await pause(4000);
    one.child.kill('SIGTERM');
    await one.ended;
    await pause(500);
    two.child.kill('SIGTERM');
    await two.ended;
    await settled(() => reader.arrivals());
    expect(noteOns(reader.arrivals()).length).toBeGreaterThan(100);
    expect(noteOffs(reader.arrivals())).toHaveLength(noteOns(reader.arrivals()).length);
    expect(hanging(reader.arrivals())).toStrictEqual([]);
    reader.close();
  });

  it('of whoever reads what is printed: the program ends, and nothing sounds', async () => {
    const reader = new PipeReader(rig.path);
    const words = [
      program,
      'play',
      demo('tollhouse-kettle'),
      '--plain',
      ...ringing,
      '--out',
      `raw:${reader.path}`,
    ];
    const line = execFileSync('sh', ['-c', '"$0" "$@" | head -n 2', process.execPath, ...words], {
      env: cleanEnv(rig.path),
      encoding: 'utf8',
      timeout: 30_000,
    });
    expect(line.split('\n').length).toBe(3);
    await settled(() => reader.arrivals());
    expect(noteOns(reader.arrivals()).length).toBeGreaterThan(0);
    expect(hanging(reader.arrivals())).toStrictEqual([]);
    reader.close();
  });
});

describe('a program that is killed on a terminal that does not read', () => {
  it('leaves a player that silences first, and then stays no longer than it must', async () => {
    const reader = new PipeReader(rig.path);
    const mark = `attack-${process.pid}-terminal`;
    const terminal = new Terminal(
      [
        process.execPath,
        program,
        'play',
        demo('tollhouse-kettle'),
        ...ringing,
        '--out',
        `raw:${reader.path}`,
      ],
      { env: cleanEnv(rig.path, { BARKLINE_TEST: mark }) },
    );
    expect(await terminal.shows(/ready/)).toBe(true);
    terminal.type(' ');
    expect(await until(() => noteOns(reader.arrivals()).length > 20)).toBe(true);
    const [player = 0] = playersMarked(mark);
    terminal.reads(false);
    // Every change of size redraws everything, until the terminal takes no more.
    for (let turn = 0; turn < 30; turn += 1) {
      terminal.resize(turn % 2 === 0 ? 150 : 100, 40);
      await pause(100);
    }
    process.kill(terminal.pid ?? 0, 'SIGKILL');
    const killed = Date.now();
    await settled(() => reader.arrivals(), 100);
    expect(hanging(reader.arrivals())).toStrictEqual([]);
    expect(Date.now() - killed).toBeLessThan(1000);
    expect(await goes(player, 10_000)).toBeLessThan(3000);
    await terminal.close();
    reader.close();
  });
});

describe('a raw output', () => {
  it('is only ever a pipe or a device: a file put in its place stays as it is', async () => {
    const reader = new PipeReader(rig.path);
    const playing = await rig.play(...ringing, '--out', `raw:${reader.path}`);
    await until(() => noteOns(reader.arrivals()).length > 5);
    const precious = join(rig.path, 'precious');
    writeFileSync(precious, 'keep me');
    renameSync(precious, reader.path);
    reader.close();
    expect(await until(() => playing.err().includes('has gone'))).toBe(true);
    await pause(1500);
    expect(readFileSync(reader.path, 'utf8')).toBe('keep me');
    playing.child.kill('SIGTERM');
    expect(await playing.ended).toBe(143);
    expect(readFileSync(reader.path, 'utf8')).toBe('keep me');
  });
});
