import type { Place } from './chart.js';

/** Answers the offset of a place in a text, in UTF-16. A column counts characters; a byte order mark is none of them. */
export function offsetsOf(source: string): (place: Place) => number {
  const starts = [source.startsWith('\ufeff') ? 1 : 0];
  for (let at = source.indexOf('\n'); at >= 0; at = source.indexOf('\n', at + 1)) starts.push(at + 1);
  return ({ line, column }) => {
    let at = starts[line - 1] ?? source.length;
    for (let current = 1; current < column && at < source.length; current += 1)
      at += (source.codePointAt(at) as number) > 0xffff ? 2 : 1;
    return at;
  };
}
