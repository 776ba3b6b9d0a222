/** The most characters of a section's name that are taken from elsewhere: a number may have to go after it. */
const longest = 22;

/**
 * Makes section names that the chart language accepts from the names in another format, each only once.
 *
 * @example new SectionNames().next('2. [verse  x2]') // 'S 2 verse X2'
 */
export class SectionNames {
  private readonly used = new Set<string>();
  /** For each name how often it was wanted: the next number is found without trying those before it. */
  private readonly wanted = new Map<string, number>();

  /** A name like the one that is wanted, or the letter of its place if nothing of it can be used. */
  next(called: string): string {
    const plain = called
      .replace(/[^\p{L}\p{N}\s_-]/gu, '')
      .replace(/\s+/g, ' ')
      // `x2` as a word says in a form how often a section is played.
      .replace(/(?<![\p{L}\p{N}_-])x(?=\d+(?![\p{L}\p{N}_-]))/gu, 'X')
      // Form words begin with “from”.
      .replace(/^\s*from(?=\s)/, 'From')
      .trim();
    const short = [...plain].slice(0, longest).join('').trim();
    const letter = String.fromCharCode(65 + (this.used.size % 26));
    const base = short === '' ? letter : /^\p{L}/u.test(short) ? short : `S ${short}`;
    let count = this.wanted.get(base) ?? 0;
    let name = '';
    do {
      count += 1;
      name = count === 1 ? base : `${base} ${count}`;
    } while (this.used.has(name));
    this.wanted.set(base, count);
    this.used.add(name);
    return name;
  }
}
