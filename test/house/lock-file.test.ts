import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

interface Locked {
  readonly version?: string;
  readonly optionalDependencies?: Readonly<Record<string, string>>;
}

const { packages } = JSON.parse(
  readFileSync(new URL('../../package-lock.json', import.meta.url), 'utf8'),
) as {
  packages: Readonly<Record<string, Locked>>;
};

describe('the lock file', () => {
  // npm leaves out what the machine that writes it cannot install; `npm ci` then fails everywhere.
  it('has every system’s package of those that bring programs of their own', () => {
    const brings = Object.entries(packages).filter(
      ([name, { optionalDependencies = {} }]) => name !== '' && Object.keys(optionalDependencies).length > 0,
    );
    expect(brings.map(([name]) => name)).toContain('node_modules/decibri');
    const lacking = brings.flatMap(([name, { optionalDependencies = {} }]) =>
      Object.keys(optionalDependencies)
        .filter((one) => !packages[`node_modules/${one}`] && !packages[`${name}/node_modules/${one}`])
        .map((one) => `${name} lacks ${one}`),
    );
    expect(lacking).toEqual([]);
  });
});
