import { describe, expect, it } from 'vitest';
import { graphOf, importFaults } from './import-graph.mjs';

const tree = (files: Record<string, string>): Map<string, string> => new Map(Object.entries(files));

describe('the check of imports', () => {
  it('finds nothing wrong where imports run one way', () => {
    const files = tree({
      'theory/key.ts': "import { x } from '../base/a.js';\nimport { midi } from '@tonaljs/note';",
      'base/a.ts': '',
      'ui/update/modes/drill.ts': "import type { Step } from '../step.js';",
      'ui/update/step.ts': '',
      'player/process.ts': "import { writeSync } from 'node:fs';",
    });
    expect(importFaults(files)).toEqual([]);
    expect(graphOf(files).get('theory/key.ts')).toEqual(['base/a.ts']);
  });

  it.each<[string, Record<string, string>, string]>([
    [
      'a lower part that imports a higher one',
      { 'chart/read.ts': "import { Loop } from '../player/loop.js';" },
      'src/chart/read.ts may not import player/loop',
    ],
    [
      'playback that knows the interface',
      { 'playback/session.ts': "import type { Model } from '../ui/state/model.js';" },
      'src/playback/session.ts may not import ui/state/model',
    ],
    [
      'playback that touches the machine',
      { 'playback/session.ts': "import { readFileSync } from 'node:fs';" },
      'src/playback/session.ts may not import node:fs',
    ],
    [
      'a mode that imports a mode',
      { 'ui/update/modes/drill.ts': "import { openSet } from './set/set.js';" },
      'src/ui/update/modes/drill.ts may not import ui/update/modes/set/set: modes never import modes',
    ],
    [
      'a drawing that imports an update',
      { 'ui/draw/stand.ts': "import { tap } from '../update/stand/tempo.js';" },
      'src/ui/draw/stand.ts may not import ui/update/stand/tempo: ui/draw knows nothing of it',
    ],
    [
      'an update that imports a drawing',
      { 'ui/update/act.ts': "export { line } from '../draw/line.js';" },
      'src/ui/update/act.ts may not import ui/draw/line: ui/update knows nothing of it',
    ],
    [
      'two files that import each other',
      { 'hand/a.ts': "import { b } from './b.js';", 'hand/b.ts': "import type { A } from './a.js';" },
      'a circle: hand/a.ts → hand/b.ts → hand/a.ts',
    ],
    [
      'a circle of three',
      {
        'time/a.ts': "import './b.js';",
        'time/b.ts': "import('./c.js');",
        'time/c.ts': "import {\n  a,\n} from './a.js';",
      },
      'a circle: time/a.ts → time/b.ts → time/c.ts → time/a.ts',
    ],
    ['a part that nobody knows', { 'extra/x.ts': '' }, 'extra/x.ts: the part “extra” is not in the list'],
  ])('finds %s', (_, files, fault) => {
    expect(importFaults(tree(files)).join('\n')).toContain(fault);
  });
});
