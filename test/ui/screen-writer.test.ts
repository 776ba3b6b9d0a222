import { EventEmitter } from 'node:events';
import { describe, expect, it } from 'vitest';
import { canvasMark } from '../../src/ui/canvas.js';
import { ScreenWriter } from '../../src/ui/screen-writer.js';

class Terminal extends EventEmitter {
  columns = 20;
  rows = 4;
  written: string[] = [];
  takes = true;
  write(text: string): boolean {
    this.written.push(text);
    return this.takes;
  }
}

describe('ScreenWriter', () => {
  it('sends only the lines that changed, each to its place', () => {
    const terminal = new Terminal();
    const writer = new ScreenWriter(terminal);
    writer.write('a\nb\nc');
    writer.write('a\nB\nc');
    expect(terminal.written).toEqual([
      '\u001b[1;1Ha\u001b[0m\u001b[K\u001b[2;1Hb\u001b[0m\u001b[K\u001b[3;1Hc\u001b[0m\u001b[K',
      '\u001b[2;1HB\u001b[0m\u001b[K',
    ]);
  });

  it('clears lines that are gone, and never writes beyond the screen', () => {
    const terminal = new Terminal();
    const writer = new ScreenWriter(terminal);
    writer.write('a\nb\nc\nd\ne\nf');
    expect(terminal.written.join('')).not.toContain('\u001b[5;1H');
    terminal.written = [];
    writer.write('a');
    expect(terminal.written[0]).toContain('\u001b[2;1H\u001b[0m\u001b[K');
  });

  it('gives a slow terminal the latest frame when it can take one', () => {
    const terminal = new Terminal();
    const writer = new ScreenWriter(terminal);
    terminal.takes = false;
    writer.write('one');
    writer.write('two');
    writer.write('three');
    expect(terminal.written).toHaveLength(1);
    terminal.takes = true;
    terminal.emit('drain');
    expect(terminal.written).toHaveLength(2);
    expect(terminal.written[1]).toContain('three');
  });

  it('redraws everything after a resize, and tells of it', () => {
    const terminal = new Terminal();
    const writer = new ScreenWriter(terminal);
    let told = 0;
    writer.on('resize', () => {
      told += 1;
    });
    writer.write('a\nb');
    terminal.written = [];
    terminal.emit('resize');
    expect(terminal.written.join('')).toBe(
      '\u001b[2J\u001b[1;1Ha\u001b[0m\u001b[K\u001b[2;1Hb\u001b[0m\u001b[K',
    );
    expect(told).toBe(1);
  });

  it('lets nothing steer the terminal but styles, of lines by Ink and of lines past it', () => {
    const terminal = new Terminal();
    const writer = new ScreenWriter(terminal);
    const foreign = '\u001b]52;c;x\u0007\u001b[3J\u009b2J\u202e\r\u001b[1;36mstyled\u001b[0m';
    writer.put([`past ${foreign}`]);
    writer.write(`by ${foreign}\n${canvasMark}`);
    const shown = '␛]52;c;x␇␛[3J�2J�␍\u001b[1;36mstyled\u001b[0m';
    expect(terminal.written).toEqual([
      `\u001b[1;1Hby ${shown}\u001b[0m\u001b[K\u001b[2;1Hpast ${shown}\u001b[0m\u001b[K`,
    ]);
  });

  it('passes on nothing but frames, and nothing once closed', () => {
    const terminal = new Terminal();
    const writer = new ScreenWriter(terminal);
    writer.write('\u001b[?25h');
    writer.close();
    writer.write('a');
    expect(terminal.written).toEqual([]);
  });

  it.each([
    [65_535, 65_535, 400, 150],
    [0, 0, 80, 24],
    [1, 1, 1, 1],
    [140, 45, 140, 45],
  ])('is at most so large, whatever a terminal says: %ix%i', (columns, rows, drawnColumns, drawnRows) => {
    const terminal = new Terminal();
    Object.assign(terminal, { columns, rows });
    const writer = new ScreenWriter(terminal);
    expect([writer.columns, writer.rows]).toEqual([drawnColumns, drawnRows]);
    writer.write('x\n'.repeat(1000));
    expect(terminal.written.join('')).not.toContain(`\u001b[${drawnRows + 1};1H`);
  });

  it('writes nothing while the shell has the terminal, and everything afterwards', () => {
    const terminal = new Terminal();
    const writer = new ScreenWriter(terminal);
    terminal.takes = false;
    writer.write('a');
    terminal.written = [];
    writer.stepAside();
    terminal.takes = true;
    terminal.emit('drain');
    writer.write('b');
    terminal.emit('resize');
    expect(terminal.written).toEqual([]);
    writer.comeBack();
    expect(terminal.written).toEqual(['\u001b[2J\u001b[1;1Hb\u001b[0m\u001b[K']);
  });

  it('does not heap up frames for a full terminal that changes its size', () => {
    const terminal = new Terminal();
    const writer = new ScreenWriter(terminal);
    terminal.takes = false;
    writer.write('a');
    for (let count = 0; count < 100; count += 1) terminal.emit('resize');
    expect(terminal.written).toHaveLength(1);
  });
});
