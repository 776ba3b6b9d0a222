/** Fields of a tune for which a chart has no place, with what they say (ABC 2.1, 3). */
const leftFields: Readonly<Record<string, string>> = {
  A: 'the area it is from',
  B: 'the book it is in',
  D: 'recordings of it',
  F: 'where its file is',
  G: 'the group it belongs to',
  H: 'its history',
  I: 'instructions for programs',
  N: 'notes about it',
  O: 'where it is from',
  R: 'the kind of its rhythm',
  S: 'where it was found',
  T: 'further titles',
  U: 'user-defined macros and symbols',
  W: 'lyrics after the tune',
  Z: 'who transcribed it',
  m: 'user-defined macros and symbols',
  r: 'remarks by its writer',
  s: 'a line of symbols',
  w: 'lyrics before the music',
  '+': 'a field continued on another line',
};

/** What is left out with a field, in words. */
export function leftField(name: string): string {
  return leftFields[name] ?? `an unknown field, ${name}:`;
}

/** What is left out with a line that begins with two percent signs: how the page or the sound is made. */
export function leftDirective(line: string): string {
  const [, name = ''] = /^%%\s*([\w-]{0,30})/.exec(line) ?? [];
  return `the directive %%${name}`;
}

/**
 * The voice that the chords are taken from: the first that has any, else the first; `null` is music without a voice of its own.
 *
 * @param lines a tune's lines after its head
 */
export function voiceOfChords(lines: readonly string[]): string | null {
  let voice: string | null = null;
  let first: string | null | undefined;
  for (const line of lines) {
    const field = /^V:\s*(\S+)/.exec(line);
    if (field) {
      voice = field[1] ?? null;
      continue;
    }
    if (/^(?:%|[A-Za-z+]:)/.test(line) || line.trim() === '') continue;
    for (const piece of line.slice(0, longestLine).split(/(?=\[V:)/)) {
      voice = /^\[V:\s*([^\]\s]+)/.exec(piece)?.[1] ?? voice;
      if (first === undefined && piece.trim() !== '') first = voice;
      if (/"(?:[A-G]|N\.? ?C)/i.test(piece)) return voice;
    }
  }
  return first ?? null;
}

const longestLine = 20_000;
