import { legend } from '../../ui/draw/legend.js';
import { type Binding, type KeyPlace, places, usualBindings } from '../../ui/keys/bindings.js';
import { keyLabel } from '../../ui/keys/names.js';
import { placeWords } from '../../ui/keys/place-words.js';
import { tableOf } from './table.js';

/** The page of all keys as Markdown, by the places in which they are pressed, and the signs on the stand. */
export function keysPage(): string {
  const intro = [
    '# Keys',
    'On the screen, `?` shows the keys for the place where you are. To give an action other keys, write `keys:` in the settings and below it `faster: j, +`, with the',
    'name from the last column; with a place before it, as in `song.play: p`, only there.',
  ].join('\n');
  const first = intro.replace('# Keys\n', '# Keys\n\n');
  const sections = places.map(
    (place) => `## ${placeWords[place]}\n\nThe place \`${place}\`.\n\n${keysOf(place)}`,
  );
  const signs = tableOf(
    ['sign', 'means'],
    legend(true).map(([sign, says]) => [`\`${sign}\``, says]),
  );
  return `${first}\n\n${sections.join('\n\n')}\n\n## Signs on the stand\n\n${signs}\n`;
}

function keysOf(place: KeyPlace): string {
  const lines = usualBindings.filter((binding) => binding.place === place);
  return tableOf(
    ['keys', 'do', 'name'],
    lines.map(({ keys, help, action }: Binding) => [
      keys.length === 0 ? 'none' : keys.map((key) => `\`${keyLabel(key, true)}\``).join(' '),
      help,
      `\`${action}\``,
    ]),
  );
}
