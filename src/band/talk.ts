/** A caller's words, as players use them. `break` also says who takes it. */
export const talkWords = ['once more', 'last time', 'softer', 'key up', 'break', 'hold', 'end'] as const;

/** One of them. */
export type TalkWord = (typeof talkWords)[number];

/** How long a word stays on the stands, ms: two bars or so. */
export const talkShownMs = 5000;

/**
 * A word as the stands show it.
 *
 * @example talkText({ word: 'break', part: 'fiddle' }) // 'break: fiddle'
 */
export function talkText({ word, part }: { readonly word: TalkWord; readonly part: string | null }): string {
  return part === null ? word : `${word}: ${part}`;
}
