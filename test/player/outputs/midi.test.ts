import { describe, expect, it } from 'vitest';
import { findPort } from '../../../src/player/outputs/midi.js';

const ports = ['Reed Synth 20:0', 'Reed Synth 20:1', 'Stage Box', 'stage', 'Kettle 7'];

describe('findPort', () => {
  it.each([
    ['by its number, from 1', '1', 0],
    ['by its number, the last', '5', 4],
    ['by its whole name', 'Stage Box', 2],
    ['by its whole name, though another holds it too', 'stage', 3],
    ['by a part of it', '20:1', 1],
    ['by a part of it, capitals or not', 'kettle', 4],
    ['by a part of it with a figure', 'le 7', 4],
  ])('%s: %s', (_, wanted, port) => {
    expect(findPort(wanted, ports)).toBe(port);
  });

  it.each([
    ['a number beyond the last', '6', 'there is no MIDI port 6; there are: 1 Reed Synth 20:0, 2 Reed Synth'],
    ['the number 0', '0', 'there is no MIDI port 0; there are: 1 Reed'],
    ['a name that none has', 'organ', 'there is no MIDI port “organ”; there are: 1 Reed'],
    ['a name that several have', 'reed', '“reed” matches several MIDI ports; there are: 1 Reed'],
    ['a negative number', '-1', 'there is no MIDI port “-1”'],
  ])('says what there is for %s', (_, wanted, sentence) => {
    expect(() => findPort(wanted, ports)).toThrow(sentence);
  });

  it.each(['1', 'Reed'])('says so when there is none at all: %s', (wanted) => {
    expect(() => findPort(wanted, [])).toThrow('there are none now');
  });
});
