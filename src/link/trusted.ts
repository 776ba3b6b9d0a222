import { rootCertificates } from 'node:tls';
import { readRegular } from '../config/regular.js';

/** Where systems keep the certificates of the authorities that they trust. */
const bundles = [
  '/etc/ssl/certs/ca-certificates.crt',
  '/etc/pki/tls/certs/ca-bundle.crt',
  '/etc/ssl/ca-bundle.pem',
  '/etc/ssl/cert.pem',
];
const mostBytes = 4 << 20;

/** The authorities that the system trusts, where it keeps them in a file, beside those that Node brings along. */
export function systemAuthorities(): readonly string[] {
  for (const path of bundles) {
    try {
      const bytes = readRegular(path, mostBytes);
      if (bytes.length <= mostBytes) return [...rootCertificates, Buffer.from(bytes).toString('latin1')];
    } catch {
      // Not there: the next one is tried.
    }
  }
  return rootCertificates;
}
