import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';

/** What is set for one output: how much earlier it is sent to, and whether it is sent clock pulses. */
export interface OutSetting {
  readonly offset: number;
  readonly clock: boolean;
}

/** The most that an output can be sent to earlier or later, ms. */
export const mostOffset = 500;

/** Reads a setting of an output: `offset -12, clock`. */
export function parseOutSetting(text: string): Outcome<OutSetting> {
  let made: OutSetting = { offset: 0, clock: false };
  for (const word of text.split(',').map((one) => one.trim())) {
    const [, offset] = /^offset (-?\d+(?:\.\d+)?)$/.exec(word) ?? [];
    if (word === 'clock') made = { ...made, clock: true };
    else if (offset !== undefined && Math.abs(Number(offset)) <= mostOffset)
      made = { ...made, offset: Number(offset) + 0 };
    else
      return misread(
        `${quoted(word)} does not describe an output; write offset and ms from -${mostOffset} to ${mostOffset}, and clock if MIDI clock is to be sent to it`,
      );
  }
  return good(made);
}
