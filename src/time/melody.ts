/** Where the tune can be heard, as it is asked for, and what each of the words means. `none` turns its voice off. */
export const melodyWords = ['sound', 'others', 'all', 'none'] as const;

/** One of the words. */
export type MelodyWord = (typeof melodyWords)[number];

/** What each of them means to a player. */
export const melodySays: Readonly<Record<MelodyWord, string>> = {
  sound: 'the tune where others lead; through the built-in sound only',
  others: 'the tune where others lead; MIDI outputs too',
  all: 'the tune, in your own breaks too; MIDI outputs too',
  none: 'no tune',
};
