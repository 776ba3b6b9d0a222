// Loaded before the program: the stand's component throws once a chart has been on the screen for a moment.
const runtime = require('react/jsx-runtime');
if (process.argv[1]?.endsWith('start.js')) {
  const { jsx } = runtime;
  let shown = null;
  runtime.jsx = (type, ...rest) => {
    if (typeof type === 'function' && type.name === 'StandScreen') {
      shown ??= Date.now();
      if (Date.now() - shown > 2500) throw new Error('a component broke');
    }
    return jsx(type, ...rest);
  };
}
