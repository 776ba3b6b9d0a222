import { describe, expect, it } from 'vitest';
import { bandRules } from '../../src/link/band-rules.js';
import { Door, type Visit } from '../../src/link/broker/door.js';
import { Kept } from '../../src/link/broker/kept.js';
import { isAllowed, ruleFor } from '../../src/link/broker/rules.js';
import { newSeat, type Seat } from '../../src/link/seat.js';

const [leader, one, other] = [newSeat(), newSeat(), newSeat()];
const options = { password: 'by the word', leader: { id: leader.id, password: 'by the program' } };
const visit = ({ id, token }: Seat, password: string, more: Partial<Visit> = {}): Visit => ({
  id,
  address: '192.0.2.7',
  user: token,
  password: Buffer.from(password),
  full: false,
  ...more,
});
const code = (door: Door, who: Visit): number => {
  const entry = door.judge(who);
  return entry.kind === 'in' ? 0 : entry.code;
};

describe('Door', () => {
  it('lets in by the word, under one’s own id', () => {
    const door = new Door(options, () => 0);
    expect(code(door, visit(one, 'by the word'))).toBe(0);
    expect(code(door, visit(one, 'by the wort'))).toBe(4);
    expect(code(door, visit(one, 'by the word', { user: other.token }))).toBe(4);
    expect(code(door, visit(one, 'by the word', { user: undefined }))).toBe(4);
    expect(code(door, visit(one, 'by the word', { password: undefined }))).toBe(4);
    expect(code(door, visit(one, 'by the word', { id: 'me' }))).toBe(4);
  });

  it('lets a wrong word wait for its answer, and a right one not', () => {
    const door = new Door(options, () => 0);
    expect(door.judge(visit(one, 'wrong'))).toMatchObject({ kind: 'out', delayMs: 1000 });
    expect(door.judge(visit(one, 'by the word'))).toEqual({ kind: 'in' });
  });

  it('answers right and wrong alike where too many were wrong, but lets the leader in', () => {
    let at = 0;
    const door = new Door(options, () => at);
    for (let turn = 0; turn < 5; turn += 1) door.judge(visit(one, 'wrong'));
    expect(door.judge(visit(one, 'by the word'))).toEqual(door.judge(visit(one, 'wrong')));
    expect(code(door, visit(one, 'by the word'))).toBe(3);
    expect(code(door, visit(leader, 'by the program'))).toBe(0);
    expect(code(door, visit(other, 'by the program', { address: '192.0.2.8' }))).toBe(4);
    at = 31_000;
    expect(code(door, visit(one, 'by the word'))).toBe(0);
  });

  it('says that the band is full only to somebody who knows the word', () => {
    const door = new Door(options, () => 0);
    expect(code(door, visit(one, 'by the word', { full: true }))).toBe(3);
    expect(code(door, visit(one, 'wrong', { full: true }))).toBe(4);
    expect(code(door, visit(leader, 'by the program', { full: true }))).toBe(0);
  });

  it('keeps away somebody who was turned away, by id and by address, but never the leader or this machine', () => {
    const door = new Door(options, () => 0);
    door.turnAway(one.id, '192.0.2.7');
    expect(code(door, visit(one, 'by the word', { address: '192.0.2.9' }))).toBe(5);
    expect(code(door, visit(other, 'by the word'))).toBe(5);
    expect(code(door, visit(other, 'by the word', { address: '192.0.2.9' }))).toBe(0);
    door.turnAway(other.id, '127.0.0.1');
    expect(code(door, visit(newSeat(), 'by the word', { address: '127.0.0.1' }))).toBe(0);
    door.turnAway(leader.id, null);
    expect(code(door, visit(leader, 'by the program'))).toBe(0);
  });
});

describe('the band’s rules', () => {
  const may = (doing: 'write' | 'read', topic: readonly string[], id: string): boolean => {
    const rule = ruleFor(bandRules, topic);
    return rule !== undefined && isAllowed(rule[doing], rule, topic, id, leader.id);
  };
  // What one writes and reads of its own, what the leader does of it, what another does.
  it.each([
    [['lead', one.id, 'claim'], 'wr', 'r', 'r'],
    [['lead', one.id, 'song'], 'wr', 'r', 'r'],
    [['lead', one.id, 'clock', other.id], 'w', '', 'r'],
    [['lead', other.id, 'clock', one.id], 'r', '', 'w'],
    [['clock', one.id], 'w', 'r', ''],
    [['who', one.id], 'wr', 'r', 'r'],
    [['talk', one.id], 'wr', 'r', 'r'],
    [['request', one.id], 'w', 'r', ''],
    [['result', one.id], 'w', 'r', ''],
    [['result', 'one'], '', '', ''],
    [['result'], '', '', ''],
    [['lead', one.id], '', '', ''],
    [['lead', one.id, 'songs'], '', '', ''],
    [['lead', one.id, 'clock', 'one'], '', '', ''],
    [['who', one.id, 'more'], '', '', ''],
    [['constructor'], '', '', ''],
  ])('%j: %s, the leader %s, another %s', (topic, own, leads, others) => {
    const of = (id: string): string =>
      (may('write', topic, id) ? 'w' : '') + (may('read', topic, id) ? 'r' : '');
    expect([of(one.id), of(leader.id), of(other.id)]).toEqual([own, leads, others]);
  });

  it('know what is subscribed with +, and nothing broader', () => {
    const known = (...topic: string[]): boolean => ruleFor(bandRules, topic) !== undefined;
    expect(known('lead', '+', 'song')).toBe(true);
    expect(known('lead', '+', 'clock', one.id)).toBe(true);
    expect(known('result', '+')).toBe(true);
    expect(known('lead', '+', '+')).toBe(false);
    expect(known('+', one.id)).toBe(false);
    expect(known('+')).toBe(false);
  });
});

describe('Kept', () => {
  it('lets go of what stands left that have been gone for a minute, and of too many', () => {
    const released: string[] = [];
    const kept = new Kept((topic) => released.push(topic));
    kept.keeps('a', 'here/a');
    kept.keeps('b', 'here/b');
    kept.gone('a', 0);
    kept.gone('b', 1000);
    kept.back('b');
    kept.gone('c', 60_500);
    expect(released).toEqual(['here/a']);
    for (let turn = 0; turn < 1000; turn += 1) {
      kept.keeps(`${turn}`, `here/${turn}`);
      kept.gone(`${turn}`, 60_500);
    }
    expect(released).toHaveLength(1 + 1000 - 16);
  });
});
