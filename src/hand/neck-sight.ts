import type { PlayerHand } from './player-hand.js';

/** How the player sees the neck. Usually looking down: nut left, the bass course nearest, that is at the bottom. */
export interface NeckSight {
  /** For a left-handed player: nut right. */
  readonly mirrored: boolean;
  /** The side nearest the ceiling, that is the bass course, at the top. */
  readonly ceilingUp: boolean;
  /** Whether sentences say “toward the ceiling” and “toward the floor” of ways across the courses. */
  readonly sayCeiling: boolean;
}

/** As a right-handed player sees it looking down. */
export const usualNeck: NeckSight = { mirrored: false, ceilingUp: false, sayCeiling: false };

/** What the `neck:` setting says; `mirrored` is `null` where it names no hand. */
export interface NeckSetting {
  readonly mirrored: boolean | null;
  readonly ceilingUp: boolean;
  readonly sayCeiling: boolean;
}

/** The `neck:` setting that changes nothing. */
export const usualNeckSetting: NeckSetting = { mirrored: null, ceilingUp: false, sayCeiling: false };

/** How a neck is drawn and spoken of, everywhere: as the setting has it, else as the hand is. */
export function neckSight(setting: NeckSetting, hand: Pick<PlayerHand, 'leftHanded'>): NeckSight {
  return { ...setting, mirrored: setting.mirrored ?? hand.leftHanded };
}
