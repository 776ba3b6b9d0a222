import { describe, expect, it } from 'vitest';
import { lookOf } from '../../src/commands/look.js';
import { usualNeckSetting } from '../../src/hand/neck-sight.js';
import { usualHand } from '../../src/hand/player-hand.js';

describe('lookOf', () => {
  const left = { ...usualHand, leftHanded: true };
  // Every screen draws its necks and arrows by what this says.
  it.each([
    [usualNeckSetting, usualHand, false],
    [{ ...usualNeckSetting, mirrored: true }, usualHand, true],
    [usualNeckSetting, left, true],
    [{ ...usualNeckSetting, mirrored: false }, left, false],
  ])('mirrors the neck by the setting, else by the hand: %j', (neck, hand, mirrored) => {
    expect(lookOf({}, { neck, hand, background: null }, {}).neck?.mirrored).toBe(mirrored);
  });
});
