import { hardSign } from './bar.js';
import { markSigns } from './marks.js';

/** The signs on the stand, each with what it means. */
export function legend(unicode: boolean): readonly (readonly [sign: string, says: string])[] {
  const { solid, hollow } = markSigns(unicode);
  const [stays, leaves, arrow] = unicode ? ['═M═', '∙', '→'] : ['=M=', ':', '>'];
  return [
    [`4${hardSign(unicode)}`, 'a hard change: one of the slowest, or too slow for this tempo'],
    [stays, 'a finger that stays planted; I M R L: index, middle, ring, little'],
    [leaves, 'where a moving finger comes from'],
    [`${arrow} bridge 2`, 'the hand, two frets toward the bridge'],
    ['hand stays', 'other fingers take over, bass side first'],
    ['stay M', 'stays; others: back (nut), up (bridge)'],
    ["'4 4~ 4! 4_", 'early; rings; a choked stop; held'],
    ['hears )))', 'it listens, and how loud; a word there: why nothing is marked'],
    [`${solid.early} ${solid.on} ${solid.late}`, 'under the rail: heard early, on, late, by your own time'],
    [`${hollow.early} ${hollow.on} ${hollow.late}`, 'the same, but clearly another chord'],
  ];
}
