import { addressText, type BrokerAddress } from './address.js';

/** What went wrong with a connection: an error's code (the system's, OpenSSL's), or MQTT's return code, or that it closed. */
export interface Trouble {
  readonly code?: string | number | undefined;
  readonly message?: string | undefined;
}

/** A sentence for a person, and whether trying again is of no use. */
export interface Said {
  readonly reason: string;
  readonly final: boolean;
}

const untrusted = new Set([
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
  'UNABLE_TO_GET_ISSUER_CERT',
  'UNABLE_TO_GET_ISSUER_CERT_LOCALLY',
  'CERT_UNTRUSTED',
  'CERT_SIGNATURE_FAILURE',
  'INVALID_CA',
]);

/** Says what went wrong with the connection to a broker, and what to do. `wasIn`: this stand had been let in there before. */
export function sayTrouble(address: BrokerAddress, { code, message }: Trouble, wasIn = false): Said {
  const where = addressText(address);
  const says = (reason: string, final = false): Said => ({ reason, final });
  if (typeof code === 'number') return returnCode(address, where, code, wasIn);
  if (code && untrusted.has(code))
    return says(
      `the certificate of ${where} is not trusted; give its certificate authority’s file with --ca`,
      true,
    );
  switch (code) {
    case 'CERT_HAS_EXPIRED':
      return says(
        `the certificate of ${where} has expired; have it renewed, or check this machine’s date`,
        true,
      );
    case 'CERT_NOT_YET_VALID':
      return says(`the certificate of ${where} is not valid yet; check this machine’s date`, true);
    case 'ERR_TLS_CERT_ALTNAME_INVALID':
      return says(`the certificate of ${where} is for another name; use the name that it is for`, true);
    case 'EPROTO':
    case 'ERR_SSL_WRONG_VERSION_NUMBER':
    case 'ERR_SSL_PACKET_LENGTH_TOO_LONG':
      return says(`${where} does not speak TLS; write mqtt://, or the port for TLS`, true);
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
    case 'EAI_FAIL':
      return says(
        `no machine called ${address.host} is known here; check the name, or give the address in numbers`,
      );
    case 'ECONNREFUSED':
      return says(`nothing answers at ${where}; start the leader or the broker, or check the port`);
    case 'EHOSTUNREACH':
    case 'EHOSTDOWN':
    case 'ENETUNREACH':
    case 'ENETDOWN':
    case 'EADDRNOTAVAIL':
      return says(`${where} cannot be reached from here; check that both machines are on the same network`);
    case 'ETIMEDOUT':
      return says(
        `${where} does not answer; check that both machines are on the same network, with no firewall between them`,
      );
    case 'ECONNRESET':
    case 'EPIPE':
    case 'ECONNABORTED':
      return says(`the connection to ${where} was broken; it is being tried again`);
    case undefined:
      break;
    default:
      return says(`the connection to ${where} failed (${code}); it is being tried again`);
  }
  if (message !== undefined) return says(`${where} does not answer in MQTT; check the address and the port`);
  return says(`the connection to ${where} was closed; it is being tried again`);
}

/** What MQTT's return codes mean (3.1.1 section 3.2.2.3). A broker that knows users says 5 to a wrong password too. */
function returnCode({ user }: BrokerAddress, where: string, code: number, wasIn: boolean): Said {
  if (code === 3)
    return { reason: `${where} lets nobody in at the moment; it is being tried again`, final: false };
  if (code === 4 || code === 5) {
    if (user !== null)
      return { reason: `${where} does not accept this user and password; write others`, final: true };
    if (code === 4)
      return { reason: `${where} does not accept this word; ask the leader for it`, final: true };
    if (wasIn) return { reason: 'this stand was turned away by whoever runs the broker', final: true };
    return {
      reason: `${where} does not let this stand in: the leader turned it away, or the broker wants a user; ask the leader, or write USER:PASSWORD@ before the host`,
      final: true,
    };
  }
  return { reason: `${where} refuses this program (return code ${code}); use another broker`, final: true };
}
