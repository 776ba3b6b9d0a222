/** Which beats click. */
export type ClickKind = 'every' | 'backbeat' | 'first' | 'divided' | 'off';

/** Every kind, with the words for a list. */
export const clickKinds: readonly { readonly kind: ClickKind; readonly says: string }[] = [
  { kind: 'every', says: 'every beat, the first accented' },
  { kind: 'backbeat', says: 'only where the chops fall' },
  { kind: 'first', says: 'only the first of the bar' },
  { kind: 'divided', says: 'every beat, with soft clicks in between' },
  { kind: 'off', says: 'none' },
];
