/** How loud a part of the form is played, by the words of a chart; a part without one is as the pattern has it. */
export type Level = 'soft' | 'up' | 'full';

/** What the bass does before a change: nothing, or a run into the next chord. */
export type BassLine = 'plain' | 'walk';

/** Each level in percent of the loudness of pattern and bass, and when it is used. */
export const levels: Readonly<Record<Level, { readonly percent: number; readonly says: string }>> = {
  soft: { percent: 65, says: 'under a singer' },
  up: { percent: 115, says: 'behind a break' },
  full: { percent: 130, says: 'everybody, as loud as it goes' },
};

/** The words for levels, softest first. */
export const levelWords: readonly Level[] = ['soft', 'up', 'full'];

/** The words for what the bass does. */
export const bassWords: readonly BassLine[] = ['plain', 'walk'];

/** Whether a word is a level. */
export function isLevel(word: string): word is Level {
  return (levelWords as readonly string[]).includes(word);
}

/** Whether a word says what the bass does. */
export function isBassLine(word: string): word is BassLine {
  return (bassWords as readonly string[]).includes(word);
}

/** A MIDI velocity at a level: 1–127. */
export function atLevel(velocity: number, level: Level | null): number {
  if (level === null) return velocity;
  return Math.max(1, Math.min(127, Math.round((velocity * levels[level].percent) / 100)));
}
