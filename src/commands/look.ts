import type { Settings } from '../config/settings.js';
import { neckSight } from '../hand/neck-sight.js';
import type { Background, Look } from '../ui/state/look.js';
import type { PlayFlags } from './play-options.js';

/**
 * What the terminal can show: colour unless NO_COLOR is set, Unicode unless it is turned off or the locale lacks it. The
 * background is what the settings say, else what can be known without asking the terminal.
 */
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
    background: background ?? knownBackground(env),
    neck: neckSight(neck, hand),
  };
}

/** Whether the terminal is asked for its background: not where the settings have said it, nor where it cannot answer or shows no colour. */
export function asksBackground(
  { colour }: Look,
  { background }: Pick<Settings, 'background'>,
  env: NodeJS.ProcessEnv = process.env,
): boolean {
  return colour && background === null && env.TERM !== 'linux';
}

/** Some terminals say which of their sixteen colours lies behind the text: white and light grey are light. The Linux console is black. */
function knownBackground({ COLORFGBG, TERM }: NodeJS.ProcessEnv): Background | null {
  if (TERM === 'linux') return 'dark';
  const behind = /;(\d+)$/.exec(COLORFGBG ?? '')?.[1];
  if (behind === undefined) return null;
  return behind === '7' || behind === '15' ? 'light' : 'dark';
}
