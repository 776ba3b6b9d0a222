/** Every fault of a tree of files, from their names (below src) to their texts. */
export function importFaults(files: ReadonlyMap<string, string>): string[];
/** Which files of src each file imports, by their names. */
export function graphOf(files: ReadonlyMap<string, string>): Map<string, string[]>;
