import { serviceType } from './read-service.js';

/**
 * The question for bands as multicast DNS has it, whole: one question, for the pointers of our service (RFC 1035 section 4.1, RFC 6763
 * section 4.1). Its id is no matter there (RFC 6762 section 18.1).
 */
export function serviceQuestion(): Buffer {
  const header = Buffer.alloc(12);
  header.writeUInt16BE(1, 4);
  const labels = [`_${serviceType}`, '_tcp', 'local'].map((label) =>
    Buffer.concat([Buffer.from([label.length]), Buffer.from(label, 'ascii')]),
  );
  // The root, then PTR and IN.
  return Buffer.concat([header, ...labels, Buffer.from([0, 0, 12, 0, 1])]);
}
