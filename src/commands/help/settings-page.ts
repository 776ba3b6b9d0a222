import { type SettingWords, settingWords } from '../../config/setting-words.js';
import { tableOf } from './table.js';

/** The page of the settings as Markdown: where the file is, all settings in short, and a file that has each of them. */
export function settingsPage(): string {
  const all: readonly (readonly [string, SettingWords])[] = Object.entries(settingWords);
  const rows = all.map(([name, { says, values, usual }]) => [`\`${name}\``, says, values, usual]);
  const file = all.flatMap(([, { example }]) => example.map((line) => `    ${line}`));
  return [
    '# Settings',
    'Settings are in `settings.yaml` in `~/.config/barkline`, or in the folder that XDG_CONFIG_HOME names. Every setting is optional. A mistake is reported\nwith its place when the program starts, and all else holds. For a student (`--who NAME`) the file is in `~/.config/barkline/who/NAME`.',
    tableOf(['setting', 'decides', 'values', 'without it'], rows),
    '## An example of each',
    file.join('\n'),
    'The lines of a hand can also be in a file of their own: `barkline plan CHART --hand FILE`.',
  ]
    .join('\n\n')
    .concat('\n');
}
