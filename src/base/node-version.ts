/** The first version of Node that all parts of the program run on; as in package.json. */
export const leastNode = 20;

/**
 * What to say if Node is too old; empty if it is recent enough. Written so that a Node of any age can read it.
 *
 * @param found the version, as `process.versions.node` has it: `18.20.8`
 */
export function nodeFault(found: string): string {
  return parseInt(found, 10) < leastNode
    ? 'barkline needs Node ' +
        leastNode +
        ' or later, and this is Node ' +
        found +
        '; nodejs.org has newer ones\n'
    : '';
}
