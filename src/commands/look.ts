import type { Settings } from '../config/settings.js';
import { neckSight } from '../hand/neck-sight.js';
import type { Look } from '../ui/state/look.js';
import type { PlayFlags } from './play-options.js';

/** What the terminal can show: colour unless NO_COLOR is set, Unicode unless it is turned off or the locale lacks it. */
export function lookOf(
  flags: PlayFlags,
  { neck, hand, background }: Pick<Settings, 'neck' | 'hand' | 'background'>,
  env: NodeJS.ProcessEnv = process.env,
): Look {
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG || '';
  const poor = env.TERM === 'linux' || (locale !== '' && !/utf-?8/i.test(locale));
  return {
    colour: !env.NO_COLOR && env.TERM !== 'dumb',
    unicode: flags.unicode !== false && !poor,
    light: background === null ? hasLightBackground(env) : background === 'light',
    neck: neckSight(neck, hand),
  };
}

/** Some terminals say which of their sixteen colours lies behind the text: white and light grey are light. */
function hasLightBackground({ COLORFGBG }: NodeJS.ProcessEnv): boolean {
  const behind = COLORFGBG?.split(';').at(-1);
  return behind === '7' || behind === '15';
}
