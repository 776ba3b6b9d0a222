import type { Condition } from '../listen/condition.js';
import { howToPermit } from './sources/trouble.js';

/** A condition is reported when it has lasted this many levels, ten to a second: one loud stroke is not worth a report. */
const lasting = 5;

/** What is wrong with what is heard and what to do, in one line; `null` when nothing is. */
export function conditionSentence(
  condition: Condition,
  platform: NodeJS.Platform = process.platform,
): string | null {
  switch (condition) {
    case 'silent':
      return silence(platform);
    case 'clipping':
      return 'the microphone is overloaded; turn its level down, or move it away from the instrument';
    case 'noisy':
      return 'the room is too loud to tell your strokes from its noise; move the microphone nearer, or use headphones';
    case 'fine':
      return null;
  }
}

/** Says when the condition has changed for good, not at each short change. */
export class ConditionWatch {
  private told: Condition = 'fine';
  private seen: Condition = 'fine';
  private times = 0;

  /** Takes the condition of one level; returns it when it should be reported. */
  take(condition: Condition): Condition | null {
    this.times = condition === this.seen ? this.times + 1 : 1;
    this.seen = condition;
    if (this.times < lasting || condition === this.told) return null;
    this.told = condition;
    return condition;
  }
}

/** Systems that forbid listening without saying so deliver zeros. */
function silence(platform: NodeJS.Platform): string {
  const forbids = platform === 'darwin' || platform === 'win32';
  const look = 'the microphone hears nothing at all; check whether it is muted or turned down';
  return forbids ? `${look}, and ${howToPermit(platform)}` : look;
}
