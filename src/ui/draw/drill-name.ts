import type { Drill } from '../../shed/drill.js';

/**
 * What a drill is called in a list that has the song's name in its heading: its title without that name, `1 and 5` for
 * `1 and 5 of Weir Hands`, `through 12 keys` for `Weir Hands through 12 keys`. The title itself where nothing else is in it.
 */
export function drillName({ title, from }: Pick<Drill, 'title' | 'from'>): string {
  const name = [` of ${from}`, `${from}, `, `${from} `].reduce(
    (rest, part) => (rest === title ? rest.replace(part, '') : rest),
    title,
  );
  return name === '' ? title : name;
}
