import type { NeckSight } from '../../hand/neck-sight.js';

/** How the screen may look: colours or not, Unicode or not. */
export interface Look {
  readonly colour: boolean;
  readonly unicode: boolean;
  /** Whether the terminal's background is light: yellow cannot be read on it. */
  readonly light?: boolean;
  /** How the player sees the neck; as a right-handed one looking down, when absent. */
  readonly neck?: NeckSight;
}
