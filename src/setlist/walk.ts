/** A file as it was opened, and the files that its songs name, if it is a set. */
export interface Opened<T> {
  readonly opened: T;
  readonly songs: readonly string[];
}

/** What a file leads to. */
export interface Walk<T> {
  /** Every file once, by what makes it the same; a set before its songs. */
  readonly files: ReadonlyMap<string, T>;
  /** Songs that lead back to the set they stand in: the files on the way, the first of them once more at the end. */
  readonly circles: readonly {
    readonly set: string;
    readonly song: number;
    readonly way: readonly string[];
  }[];
}

/**
 * Opens a file and, where it is a set, the files of its songs, and theirs if those are sets. Each is opened once, however
 * often it is named; a set within itself ends there. `idOf` says which names are of the same file.
 */
export function walkSongs<T extends object>(
  start: string,
  open: (file: string) => Opened<T>,
  idOf: (file: string) => string,
): Walk<T> {
  const files = new Map<string, T>();
  const circles: Walk<T>['circles'][number][] = [];
  const way: {
    readonly id: string;
    readonly file: string;
    readonly songs: readonly string[];
    next: number;
  }[] = [];
  const onWay = new Set<string>();
  const enter = (file: string, id: string): void => {
    const { opened, songs } = open(file);
    files.set(id, opened);
    way.push({ id, file, songs, next: 0 });
    onWay.add(id);
  };
  enter(start, idOf(start));
  for (let here = way.at(-1); here !== undefined; here = way.at(-1)) {
    const song = here.next;
    const file = here.songs[song];
    here.next += 1;
    if (file === undefined) {
      onWay.delete(here.id);
      way.pop();
      continue;
    }
    const id = idOf(file);
    if (onWay.has(id)) {
      const from = way.slice(way.findIndex((one) => one.id === id)).map((one) => one.file);
      circles.push({ set: here.id, song, way: [...from, from[0] ?? file] });
    } else if (!files.has(id)) enter(file, id);
  }
  return { files, circles };
}
