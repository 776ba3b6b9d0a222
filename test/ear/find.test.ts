import { describe, expect, it } from 'vitest';
import { findMicrophone } from '../../src/ear/find.js';
import type { Microphone } from '../../src/ear/messages.js';

const there: readonly Microphone[] = [
  { name: 'default', label: 'Usual Input', isDefault: true },
  { name: 'plughw:CARD=Pod,DEV=0', label: 'Field Pod, USB Audio', isDefault: false },
  { name: 'plughw:CARD=Lid,DEV=0', label: 'Lid, Array Audio', isDefault: false },
];
const found = (wanted: string, among = there): string => {
  const one = findMicrophone(wanted, among);
  return one.ok ? one.value.name : one.fault;
};

describe('findMicrophone', () => {
  it.each([
    ['2', 'plughw:CARD=Pod,DEV=0'],
    ['plughw:card=lid,dev=0', 'plughw:CARD=Lid,DEV=0'],
    ['field pod, usb audio', 'plughw:CARD=Pod,DEV=0'],
    ['array', 'plughw:CARD=Lid,DEV=0'],
    ['default', 'default'],
  ])('finds %s', (wanted, name) => {
    expect(found(wanted)).toBe(name);
  });

  it('says what there is, what was perhaps meant, or that several fit', () => {
    expect(found('9')).toBe(
      'there is no microphone 9; there are: 1 default, 2 plughw:CARD=Pod,DEV=0, 3 plughw:CARD=Lid,DEV=0',
    );
    expect(found('defualt')).toBe('there is no microphone “defualt”; did you mean “default”?');
    expect(found('audio')).toMatch(/^“audio” matches several microphones; there are: 1 default/);
    expect(found('trumpet')).toMatch(/^there is no microphone “trumpet”; there are: 1 default/);
    expect(found('1', [])).toBe('there is no microphone 1; there are none now; connect one');
  });

  it('takes a whole name before a part of another', () => {
    const two: readonly Microphone[] = [
      { name: 'Pod 2', label: 'Pod 2', isDefault: false },
      { name: 'Pod', label: 'Pod', isDefault: false },
    ];
    expect(found('pod', two)).toBe('Pod');
  });
});
