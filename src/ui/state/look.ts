/** How the player sees the neck. Usually looking down: nut left, the bass course nearest, that is at the bottom. */
export interface NeckSight {
  /** For a left-handed player: nut right. */
  readonly mirrored: boolean;
  /** The side nearest the ceiling, that is the bass course, at the top. */
  readonly ceilingUp: boolean;
}

/** As a right-handed player sees it looking down. */
export const usualNeck: NeckSight = { mirrored: false, ceilingUp: false };

/** How the screen may look: colours or not, Unicode or not. */
export interface Look {
  readonly colour: boolean;
  readonly unicode: boolean;
  /** Whether the terminal's background is light: yellow cannot be read on it. */
  readonly light?: boolean;
  /** How the player sees the neck; as a right-handed one looking down, when absent. */
  readonly neck?: NeckSight;
}
