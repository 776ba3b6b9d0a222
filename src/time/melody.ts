/** Where the tune can be heard, as it is asked for, and what each of the words means. `none` turns its voice off. */
export const melodyWords = ['sound', 'others', 'all', 'none'] as const;

/** One of the words. */
export type MelodyWord = (typeof melodyWords)[number];

/** What each of them means to a player, short enough for a row of 80 columns. */
export const melodySays: Readonly<Record<MelodyWord, string>> = {
  sound: 'the tune; built-in sound only',
  others: 'the tune; MIDI outputs too',
  all: 'the tune, in your own breaks too',
  none: 'no tune',
};
