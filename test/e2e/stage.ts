import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, expect } from 'vitest';
import { type Arrival, cleanEnv, freshFolder, PipeReader, program, until } from './harness.js';
import { Screen } from './screen.js';

/** A terminal for the program and a pipe that hears it, for the tests of a file. */
export class Stage {
  private readonly home = freshFolder();
  private heard: PipeReader | null = null;
  private screen: Screen | null = null;

  readonly folder = this.home.path;

  /** The pipe; there is one while the tests run. */
  get reader(): PipeReader {
    if (!this.heard) throw new Error('the pipe is there only while tests run');
    return this.heard;
  }

  begin(): void {
    this.heard = new PipeReader(this.folder);
  }

  clear(): void {
    this.screen?.close();
    this.screen = null;
  }

  end(): void {
    this.heard?.close();
    this.home.remove();
  }

  /** What arrives from now on. */
  readonly fromNow = (): (() => Arrival[]) => {
    const before = this.reader.arrivals().length;
    return () => this.reader.arrivals().slice(before);
  };

  /** The environment of one run: what one test chooses for a chart is nothing to the next. */
  env(extra: Record<string, string> = {}): NodeJS.ProcessEnv {
    rmSync(join(this.folder, 'stty'), { force: true });
    return cleanEnv(this.folder, {
      STTY_AFTER: join(this.folder, 'stty'),
      XDG_STATE_HOME: join(this.folder, `state-${Math.random().toString(36).slice(2)}`),
      ...extra,
    });
  }

  /** The program on a terminal of this size, sounding into the pipe. */
  open(columns: number, rows: number, words: string, extra: Record<string, string> = {}): Screen {
    return this.run(
      columns,
      rows,
      `${process.execPath} ${program} ${words} --out raw:${this.reader.path}`,
      extra,
    );
  }

  /** A shell command on a terminal of this size. */
  run(columns: number, rows: number, command: string, extra: Record<string, string> = {}): Screen {
    const before = join(this.folder, 'stty-before');
    this.screen = new Screen(columns, rows, `stty -a > ${before}; ${command}`, this.env(extra));
    return this.screen;
  }

  /** Keeps a picture of the screen as text for somebody who wants to look at it (BARKLINE_CAPTURES names a folder). */
  capture(name: string, text: string): void {
    const captures = process.env.BARKLINE_CAPTURES;
    if (!captures) return;
    mkdirSync(captures, { recursive: true });
    writeFileSync(join(captures, `${name}.txt`), text);
  }

  /** The program has ended, and screen and line settings are as they were. */
  readonly expectLeft = async (shown: Screen): Promise<void> => {
    await shown.shows(/ended \d+/);
    expect(shown.state()).toEqual({ alternate: false, cursor: true });
    const after = join(this.folder, 'stty');
    expect(await until(() => existsSync(after) && readFileSync(after, 'utf8').length > 0)).toBe(true);
    expect(this.modes('stty')).toBe(this.modes('stty-before'));
  };

  /** Line settings that were kept, whatever size the screen has become. */
  modes(name: 'stty' | 'stty-before'): string {
    return withoutSize(readFileSync(join(this.folder, name), 'utf8'));
  }
}

/** Line settings without the size of the screen. */
export function withoutSize(modes: string): string {
  return modes.replace(/rows \d+; columns \d+/, '');
}

/** A stage for a file of tests. */
export function setStage(): Stage {
  const stage = new Stage();
  beforeAll(() => stage.begin());
  afterEach(() => stage.clear());
  afterAll(() => stage.end());
  return stage;
}
