import type { Stats } from 'node:fs';

/**
 * Why nothing may be written to what a path leads to, or read from it, as a sentence; `null` for a pipe or a character device,
 * which are all that carry MIDI bytes. `use` is what it was meant for: `a raw output`.
 */
export function unfit(stat: Stats, path: string, use: string): string | null {
  if (stat.isFIFO() || stat.isCharacterDevice()) return null;
  const found = stat.isFile()
    ? 'a regular file'
    : stat.isDirectory()
      ? 'a folder'
      : stat.isBlockDevice()
        ? 'a disk or another block device'
        : stat.isSocket()
          ? 'a socket'
          : 'neither a pipe nor a device';
  return `${path} is ${found}; ${use} is a named pipe or a MIDI device`;
}
