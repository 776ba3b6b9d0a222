/** Packets of MQTT 3.1.1 written by hand, so that what breaks the rules can be written too. */

function length(count: number): number[] {
  const bytes: number[] = [];
  let rest = count;
  do {
    bytes.push((rest % 128) | (rest >= 128 ? 0x80 : 0));
    rest = Math.floor(rest / 128);
  } while (rest > 0);
  return bytes;
}

function text(value: string): Buffer {
  const bytes = Buffer.from(value, 'utf8');
  return Buffer.concat([Buffer.from([bytes.length >> 8, bytes.length & 0xff]), bytes]);
}

/** A packet of a first byte and a body; `says`: the length that it claims to have. */
export function packet(first: number, body: Buffer, says = body.length): Buffer {
  return Buffer.concat([Buffer.from([first, ...length(says)]), body]);
}

export function connectPacket(options: {
  id: string;
  user?: string;
  password?: string;
  keepalive?: number;
  clean?: boolean;
}): Buffer {
  const { id, user, password, keepalive = 20, clean = true } = options;
  const flags = (user === undefined ? 0 : 0x80) | (password === undefined ? 0 : 0x40) | (clean ? 0x02 : 0);
  return packet(
    0x10,
    Buffer.concat([
      text('MQTT'),
      Buffer.from([4, flags, keepalive >> 8, keepalive & 0xff]),
      text(id),
      ...(user === undefined ? [] : [text(user)]),
      ...(password === undefined ? [] : [text(password)]),
    ]),
  );
}

export function publishPacket(topic: string, payload: Uint8Array, flags = 0): Buffer {
  const id = (flags & 0x06) === 0 ? Buffer.alloc(0) : Buffer.from([0, 1]);
  return packet(0x30 | flags, Buffer.concat([text(topic), id, payload]));
}

export function subscribePacket(topics: readonly string[], qos = 1): Buffer {
  const asked = topics.map((topic) => Buffer.concat([text(topic), Buffer.from([qos])]));
  return packet(0x82, Buffer.concat([Buffer.from([0, 7]), ...asked]));
}
