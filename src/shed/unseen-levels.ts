/** How hard an unseen chart can be, from the easiest on. */
export const unseenLevels = ['easy', 'fair', 'hard', 'wicked'] as const;
export type UnseenLevel = (typeof unseenLevels)[number];
