// npm run bench -- listen [--quick]: what is heard of performances that were rendered, beside the goals. Each part has a file in listen/.
import { testSources } from './listen/sources.mjs';

/** Each is called with the modules of test/listen and `quick`, prints its table and answers its figures. */
const parts = {
  onsets: async (sources, quick) => (await import('./listen/onsets.mjs')).benchOnsets(sources, quick),
  file: async (sources, quick) => (await import('./listen/file.mjs')).benchFile(sources, quick),
};

/** All parts, one after the other. */
export async function benchListen(quick) {
  const { modules, remove } = await testSources();
  try {
    const figures = {};
    for (const [name, part] of Object.entries(parts)) {
      console.log(`\n${name}`);
      for (const [figure, value] of Object.entries(await part(modules, quick)))
        figures[`${name} ${figure}`] = value;
    }
    return figures;
  } finally {
    remove();
  }
}
