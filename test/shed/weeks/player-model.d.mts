/** What a player is like. */
export interface PlayerKind {
  readonly first: number;
  readonly most: number;
  readonly gain: number;
  readonly loss: number;
  readonly marks: number;
}
/** A player who learns. */
export interface Player {
  readonly kind: PlayerKind;
}
export const beginner: PlayerKind;
export const advanced: PlayerKind;
/** A player with nothing in the hands. */
export function newPlayer(kind: PlayerKind, seed: number): Player;
