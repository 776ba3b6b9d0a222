import { describe, expect, it } from 'vitest';
import { readService } from '../../src/link/discover/read-service.js';
import { readTopic, writtenTopic } from '../../src/link/topics.js';
import { sayTrouble } from '../../src/link/trouble.js';

const own = { host: 'stage', port: 18_830, tls: false, user: null, password: null };
const foreign = { host: 'stage', port: 8883, tls: true, user: 'ann', password: 'secret' };

describe('sayTrouble', () => {
  it.each([
    ['ENOTFOUND', false, /no machine called stage is known here; check the name/],
    ['ECONNREFUSED', false, /nothing answers at mqtt:\/\/stage:18830; start the leader/],
    ['EHOSTUNREACH', false, /cannot be reached from here; check that both/],
    ['ETIMEDOUT', false, /does not answer; check that/],
    ['ECONNRESET', false, /was broken; it is being tried again/],
    ['ESTRANGE', false, /failed \(ESTRANGE\); it is being tried again/],
    ['SELF_SIGNED_CERT_IN_CHAIN', true, /not trusted; give its certificate authority’s file with --ca/],
    ['CERT_HAS_EXPIRED', true, /has expired; /],
    ['ERR_TLS_CERT_ALTNAME_INVALID', true, /is for another name; /],
    ['EPROTO', true, /does not speak TLS; write mqtt:/],
    [3, false, /lets nobody in at the moment/],
    [4, true, /does not accept this word; ask the leader/],
    [5, true, /turned it away, or the broker wants a user; ask the leader/],
    [1, true, /return code 1/],
  ])('says of %s whether to go on, what, and what to do', (code, final, reason) => {
    const said = sayTrouble(own, { code });
    expect(said.final).toBe(final);
    expect(said.reason).toMatch(reason);
    expect(said.reason).toMatch(/;/);
  });

  it('tells those who were in that they were turned away, but not of another band’s word there', () => {
    expect(sayTrouble(own, { code: 5 }, true)).toEqual({
      reason: 'this stand was turned away by whoever runs the broker',
      final: true,
    });
    expect(sayTrouble(own, { code: 4 }, true).reason).toMatch(/does not accept this word/);
  });

  it('says of a broker with users that they are not accepted, and never a password', () => {
    for (const code of [4, 5])
      expect(sayTrouble(foreign, { code })).toEqual({
        reason: 'mqtts://stage:8883 does not accept this user and password; write others',
        final: true,
      });
  });

  it('tells a connection that was closed from an answer that is not an MQTT', () => {
    expect(sayTrouble(own, {}).reason).toMatch(/was closed/);
    expect(sayTrouble(own, { message: 'Invalid header flag bits' }).reason).toMatch(
      /does not answer in MQTT/,
    );
  });
});

describe('topics', () => {
  it('are written below the band and read back', () => {
    expect(writtenTopic('b1', ['clock', 'a-1'])).toBe('barkline/b1/clock/a-1');
    expect(readTopic('b1', 'barkline/b1/clock/a-1')).toEqual(['clock', 'a-1']);
    expect(writtenTopic('b1', ['clock', '+'], true)).toBe('barkline/b1/clock/+');
  });

  it.each([
    [[]],
    [['']],
    [['a/b']],
    [['#']],
    [['+']],
    [['a\u001b']],
    [['ä']],
    [['x'.repeat(65)]],
    [new Array(9).fill('a')],
  ])('cannot be %j', (topic) => {
    expect(writtenTopic('b1', topic)).toBeNull();
  });

  it.each([
    'barkline/b2/clock',
    'barkline/b1/',
    'barkline/b1',
    'barkline/b1/a//b',
    'barkline/b1/+',
    '',
    '$SYS/x',
  ])('are not %j', (written) => {
    expect(readTopic('b1', written)).toBeNull();
  });
});

describe('readService', () => {
  const answer = {
    port: 18_830,
    txt: { v: '1', tag: '0a1b2', name: 'Porch', id: '00112233445566aa', turn: '2' },
    addresses: ['fe80::1', '192.0.2.9', 'fd00::9'],
    referer: { address: '192.0.2.7' },
  };
  it('reads a band, where the answer came from first', () => {
    expect(readService(answer)).toEqual({
      tag: '0a1b2',
      name: 'Porch',
      hosts: ['192.0.2.7', '192.0.2.9', 'fd00::9'],
      port: 18_830,
      id: '00112233445566aa',
      turn: 2,
    });
  });

  it('makes a name fit to be shown', () => {
    const name = `\u001b[2J${'x'.repeat(100)}`;
    expect(readService({ ...answer, txt: { ...answer.txt, name } })?.name).toBe(`␛[2J${'x'.repeat(36)}`);
    expect(readService({ ...answer, txt: { ...answer.txt, name: 7 } })?.name).toBe('a band');
  });

  it.each([
    {},
    { ...answer, port: 0 },
    { ...answer, port: '18830' },
    { ...answer, port: 70_000 },
    { ...answer, txt: null },
    { ...answer, txt: { ...answer.txt, v: '2' } },
    { ...answer, txt: { ...answer.txt, tag: '0a1b2/x' } },
    { ...answer, txt: { ...answer.txt, id: '00112233445566AA' } },
    { ...answer, txt: { ...answer.txt, turn: '0' } },
    { ...answer, txt: { ...answer.txt, turn: '1e3' } },
    { ...answer, addresses: ['stage.example', 'x', 7], referer: null },
    { ...answer, addresses: ['224.0.0.251', '239.1.1.1', '0.0.0.0', '::'], referer: undefined },
  ])('reads nothing from %j', (other) => {
    expect(readService(other)).toBeNull();
  });
});
