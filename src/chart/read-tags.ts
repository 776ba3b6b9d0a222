import { fewNames, quoted } from '../base/safe-text.js';
import type { Place } from './chart.js';
import type { Faults } from './fault.js';
import type { Value } from './yaml-source.js';

/** The most tags a chart may have, and the most characters of one. */
export const mostTags = 12;
export const longestTag = 30;

/** A tag that was found, and where. */
interface Found extends Place {
  readonly text: string;
}

/**
 * Reads the tags of a chart's head: words or a few of them, `tags: waltz, slow, level 1`, or as a list of YAML. Each once, in the order
 * in which they are written, with one space between words. A tag that cannot be one is a fault at its place, and is left out.
 *
 * @param value the value of `tags`; `null` where the head has none
 */
export function readTags(value: Value | null, faults: Faults): readonly string[] {
  if (value === null) return [];
  const parts = value.kind === 'list' ? value.values : [value];
  if (value.kind === 'map' || value.kind === 'nothing' || parts.some((part) => part.kind !== 'text')) {
    faults.error(value.place, 'tags are words with commas between them: “tags: waltz, slow, level 1”');
    return [];
  }
  const good: string[] = [];
  for (const tag of parts.flatMap(tagsOf)) {
    const wrong = faultOf(tag.text);
    const before = good.find((one) => one.toLowerCase() === tag.text.toLowerCase());
    if (wrong !== null) faults.error(tag, wrong);
    else if (before !== undefined) faults.warning(tag, `the tag ${quoted(before)} is there already`);
    else if (good.length === mostTags) {
      faults.error(
        tag,
        `a chart has at most ${mostTags} tags; these are there: ${fewNames(good)}; leave ${quoted(tag.text)} or another out`,
      );
      break;
    } else good.push(tag.text);
  }
  return good;
}

/** What is between the commas of a text, each at its place. */
function tagsOf(value: Value): readonly Found[] {
  if (value.kind !== 'text') return [];
  const source = value.lines[0];
  // Where it stands on several lines, or with escapes, what is read has other columns than the file.
  const isAsWritten = value.lines.length === 1 && source?.text.startsWith(value.text.trimEnd());
  let at = 0;
  return value.text.split(',').map((part) => {
    const blank = part.length - part.trimStart().length;
    const before = [...value.text.slice(0, at + blank)].length;
    at += part.length + 1;
    const place = source ?? value.place;
    return {
      text: part.trim().replace(/\s+/g, ' '),
      line: place.line,
      column: isAsWritten ? place.column + before : place.column,
    };
  });
}

/** What is wrong with a tag; `null` where nothing is. */
function faultOf(text: string): string | null {
  if (text === '')
    return 'a tag is missing between two commas, or at an end; write “tags: waltz, slow, level 1”';
  if ([...text].length > longestTag)
    return `the tag ${quoted(text)} has ${[...text].length} characters; a tag has at most ${longestTag}`;
  if (!/^[\p{L}\p{N}][\p{L}\p{M}\p{N} '’&+/.-]*$/u.test(text))
    return `${quoted(text)} is not a tag; a tag begins with a letter or a figure and has letters, figures, spaces, dashes, and ' & + / .`;
  return null;
}
