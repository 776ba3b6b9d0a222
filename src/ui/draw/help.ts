import { bindings, keyLabel } from '../keymap.js';
import { type Line, piece } from './line.js';

/** The help screen, made from the key table; in two columns when it would be too tall. */
export function helpLines(columns: number, height: number, unicode: boolean): Line[] {
  const rows = bindings.map((binding): Line => {
    const keys = binding.keys.map((key) => keyLabel(key, unicode)).join('  ');
    return [piece(` ${keys.padEnd(18)}`, 'key'), piece(binding.help)];
  });
  const title: Line = [piece(' Keys', 'title')];
  const lines: Line[] = rows.length + 2 <= height ? [title, []] : [title];
  if (rows.length + lines.length <= height || columns < 100) lines.push(...rows);
  else {
    const half = Math.ceil(rows.length / 2);
    for (let index = 0; index < half; index += 1) {
      const left = rows[index] ?? [];
      const used = left.reduce((sum, one) => sum + one.text.length, 0);
      lines.push([
        ...left,
        piece(' '.repeat(Math.max(1, Math.floor(columns / 2) - used))),
        ...(rows[index + half] ?? []),
      ]);
    }
  }
  return lines;
}
