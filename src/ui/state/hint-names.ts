/** What a newcomer is told to press, one at a time, in this order; gone for good once it was pressed. */
export const hintNames = ['open', 'play', 'share', 'key', 'far', 'help'] as const;

/** One of them. */
export type HintName = (typeof hintNames)[number];
