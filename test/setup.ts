/*
 * With FAST_CHECK_SEED all properties try the same values each time: what fails then is a fault of the change that is checked. Without it each run
 * tries others.
 */
const { FAST_CHECK_SEED } = process.env;
if (FAST_CHECK_SEED !== undefined) {
  const { configureGlobal } = await import('fast-check');
  configureGlobal({ seed: Number(FAST_CHECK_SEED) });
}

export {};
