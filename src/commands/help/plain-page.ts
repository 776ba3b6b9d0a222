import { usualBindings } from '../../ui/keys/bindings.js';
import { keyLabel } from '../../ui/keys/names.js';
import { words, wordUsage } from '../../ui/typed/language.js';
import { leftOut } from '../../ui/typed/left-out.js';
import { groups } from '../../ui/typed/order.js';
import { tableOf } from './table.js';

/** Every typed command as Markdown, in its groups, and the keys for which there is none, with the reason. */
export function plainCommands(): string {
  const sections = groups.map((group) => {
    const rows = words
      .filter((word) => word.group === group)
      .map((word) => [`\`${wordUsage(word)}\``, [word.says, ...alsoText(word.also)].join('; ')]);
    return `### ${group.charAt(0).toUpperCase()}${group.slice(1)}\n\n${tableOf(['typed', 'does'], rows)}`;
  });
  const without = Object.entries(leftOut).map(([action, why]) => [
    `\`${keysOf(action)}\``,
    `\`${action}\``,
    why,
  ]);
  return `${sections.join('\n\n')}\n\n## Keys without a command\n\n${tableOf(['keys', 'name', 'why'], without)}`;
}

function alsoText(also: readonly string[] = []): readonly string[] {
  return also.length === 0 ? [] : [`also ${also.map((name) => `\`${name}\``).join(', ')}`];
}

function keysOf(action: string): string {
  const keys = usualBindings.find((binding) => binding.action === action)?.keys ?? [];
  return keys.map((key) => keyLabel(key, true)).join(' ');
}
