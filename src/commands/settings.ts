import { safeText } from '../base/safe-text.js';
import { settingsFolder, type Who } from '../config/diary-file.js';
import { readSettings, type Settings } from '../config/settings.js';
import { type PlanOptions, usualPlan } from '../hand/plan.js';
import { say } from './exit.js';

/** The settings of a name, read now; without a name the player's own. Faults are told on stderr. */
export function settingsOf(who: Who = null): Settings {
  const { settings, faults } = readSettings(settingsFolder(who));
  for (const fault of faults) say(safeText(fault));
  return settings;
}

/** What the settings say about the hand. */
export function planOf(settings: Settings): PlanOptions {
  const { hand, prices, shapes, home } = settings;
  return { ...usualPlan, hand, prices, shapes, home };
}
