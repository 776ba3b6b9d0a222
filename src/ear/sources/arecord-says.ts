/** What the system's recorder says on its standard error, one line: of its lines the ones that matter here. */
export type ArecordSays =
  /** Sound was lost. */
  | { readonly kind: 'lost' }
  /** It records at another rate than was asked for. */
  | { readonly kind: 'rate'; readonly rate: number }
  /** It cannot go on, or not begin. */
  | { readonly kind: 'fault'; readonly said: string };

/** Reads a line; `null` for one without meaning here. The recorder must speak English (`LC_ALL=C`). */
export function arecordSays(line: string): ArecordSays | null {
  if (/^(overrun|underrun)!!!/.test(line)) return { kind: 'lost' };
  const rate = /got = (\d+) ?Hz/.exec(line);
  if (rate) return { kind: 'rate', rate: Number(rate[1]) };
  return /error|non available|cannot|unknown pcm|no such/i.test(line) ? { kind: 'fault', said: line } : null;
}

/** A recording device as the system's recorder lists it. */
export interface ListedPcm {
  readonly name: string;
  readonly label: string;
}

/** Whether a person would choose an input of the system's by this name: `default`, sound servers, each card with conversion, once. */
export function isMeant(name: string): boolean {
  return /^(default|pulse|pipewire|jack|plughw:CARD=(?!\d+,).*)$/.test(name);
}

/**
 * Reads the list of `arecord -L`: a name at the beginning of a line, indented lines that describe it after it. Kept is what
 * is meant by itself; the rest of the names works as well, but says nothing to a person.
 */
export function readPcmList(text: string): readonly ListedPcm[] {
  const found: { name: string; label: string }[] = [];
  for (const line of text.split('\n')) {
    if (/^\S/.test(line)) found.push({ name: line.trim(), label: '' });
    else {
      const last = found.at(-1);
      // What is below says how the system converts.
      if (last && last.label === '') last.label = line.trim();
    }
  }
  const meant = /^(default|pulse|pipewire|jack|plughw:.*)$/;
  return found
    .filter(({ name }) => meant.test(name))
    .map((one) => ({ ...one, label: one.label || one.name }));
}
