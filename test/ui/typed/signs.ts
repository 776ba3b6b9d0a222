/** What a screen reader stumbles over, each with a sign of its kind: arrows, accidentals, signs of the chart language, drawing. */
const stumbles: readonly RegExp[] = [
  // Whatever is no letter, figure or usual mark of a sentence.
  /[^\p{L}0-9 .,;:()'"‘’“”%?&/-]/u,
  // An accidental behind a letter.
  /(?<!\w)[A-G](?:b|#)(?:m|\d|\b)/,
  // A chord's letter with its quality: `Am`, `D7`.
  /(?<!\w)[A-G](?:m|\d|maj|dim|sus)\w*(?!\w)/,
  // A number with its quality, or an accidental in front of it.
  /(?<![\w.])[1-7]-(?!\w)|(?<!\w)b[1-7]\b/,
  // A dash between figures.
  /\d-(?:\d|x)/,
  // A stroke that is none of a meter's.
  /(?<!\d)\/|\/(?!\d)/,
];

/** The pieces of a line that a screen reader stumbles over. */
export function stumblesIn(line: string): readonly string[] {
  return stumbles.flatMap((sign) => sign.exec(line)?.[0] ?? []);
}
