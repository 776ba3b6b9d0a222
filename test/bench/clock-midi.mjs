// Reads a stream of MIDI bytes, as it was stamped batch by batch, into messages.

/** Data bytes that follow a status byte; a system exclusive message ends with F7 and is passed over. */
function dataLength(status) {
  const kind = status & 0xf0;
  if (kind === 0xc0 || kind === 0xd0) return 1;
  if (kind !== 0xf0) return 2;
  return { 241: 1, 242: 2, 243: 1, 240: Number.POSITIVE_INFINITY }[status] ?? 0;
}

const realTime = { 248: 'clock', 250: 'start', 251: 'continue', 252: 'stop' };

/** What a message is, whatever its loudness: `on 9 76`, `off 9 76`, `clock`, or its status. */
export function kindOf(status, data = []) {
  const channel = status & 0x0f;
  switch (status & 0xf0) {
    case 0x90:
      return `${data[1] === 0 ? 'off' : 'on'} ${channel} ${data[0]}`;
    case 0x80:
      return `off ${channel} ${data[0]}`;
    default:
      return realTime[status] ?? status.toString(16);
  }
}

/**
 * The messages of batches `{time, bytes}`, each with the time of its first byte. Real-time bytes may stand between
 * the bytes of another message, and a status byte that is the same as before may be left out.
 */
export function messagesOf(batches) {
  const messages = [];
  let status = 0;
  let data = [];
  let started = null;
  const finish = (time) => {
    messages.push({ time: started ?? time, kind: kindOf(status, data) });
    data = [];
    started = null;
    // What is common to the whole system has no running status.
    if (status >= 0xf0) status = 0;
  };
  for (const { time, bytes } of batches) {
    for (const byte of bytes) {
      if (byte >= 0xf8) messages.push({ time, kind: kindOf(byte) });
      else if (byte >= 0x80) {
        status = byte === 0xf7 ? 0 : byte;
        data = [];
        started = time;
        if (status !== 0 && dataLength(status) === 0) finish(time);
      } else if (status !== 0) {
        started ??= time;
        data.push(byte);
        if (data.length >= dataLength(status)) finish(time);
      }
    }
  }
  return messages;
}
