import { networkInterfaces } from 'node:os';

/** This machine's addresses on the network, IPv4 first, since they are read aloud more easily; without those that only it has. */
export function ownAddresses(): readonly string[] {
  const all = Object.values(networkInterfaces()).flatMap((list) => list ?? []);
  const outside = all.filter(({ internal, address }) => !internal && !address.startsWith('fe80:'));
  return outside
    .sort((one, other) => Number(one.family === 'IPv6') - Number(other.family === 'IPv6'))
    .map(({ address }) => address);
}
