import { safeText } from '../../../base/safe-text.js';
import type { Drill } from '../../../shed/drill.js';
import { strainCaution } from '../../../shed/drill.js';
import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import { drillOf } from '../../state/select.js';
import { alone, type Order, press, type Word, wholeOf } from '../order.js';
import { spokenWritten } from '../spoken.js';
import { nothing } from './playing.js';

/** The drills of the chart: told, or one of them begun. */
function drill(rest: string): Order {
  const drills = ({ overlay }: Model): readonly Drill[] => (overlay?.kind === 'drills' ? overlay.drills : []);
  const wanted = rest.toLowerCase();
  const found = (model: Model): Drill | undefined => {
    const place = wholeOf(rest);
    const all = drills(model);
    if (place !== null) return all[place - 1];
    return (
      all.find(({ kind }) => kind === wanted) ?? all.find(({ title }) => title.toLowerCase().includes(wanted))
    );
  };
  const open = press('choose-drill');
  if (rest === '')
    return {
      steps: [open],
      answer: (_, after, said) => {
        const all = drills(after);
        if (all.length === 0) return said || nothing;
        return [
          `${all.length} drills; ${strainCaution}`,
          ...all.map(
            ({ kind, title, says }, index) =>
              `${index + 1} ${kind}: ${spokenWritten(safeText(title))}: ${spokenWritten(says)}`,
          ),
        ];
      },
    };
  return {
    steps: [
      open,
      {
        send: (model) => {
          const one = found(model);
          return one ? [{ kind: 'drill-chosen', drill: one }] : [];
        },
      },
    ],
    answer: (_, after, said) => {
      if (after.overlay?.kind === 'drills')
        return `there is no drill “${safeText(rest)}”; drill lists what there is`;
      const play = drillOf(after.mode);
      return play
        ? `${spokenWritten(safeText(play.drill.title))}: ${spokenWritten(play.drill.says)}; play begins`
        : said || nothing;
    },
  };
}

/** How a pass was. */
function marking(action: Action, word: string): Word['read'] {
  return alone(() => ({
    steps: [press(action)],
    answer: (before, after, said) => {
      if (!before.session.performance) return nothing;
      if (said === '' && before.mode === after.mode) return 'no pass is over, and none is played';
      const { ladder } = drillOf(after.mode) ?? {};
      const tempo = ladder && ladder.holds === null ? `, at ${Math.round(ladder.bpm)} now` : '';
      return said !== '' ? said : `${word}${tempo}`;
    },
  }));
}

/** Drills, and what is said of passes. */
export const practiceWords: readonly Word[] = [
  {
    name: 'drill',
    also: ['drills'],
    takes: '3, or pairs',
    says: 'a drill made from this chart; alone: a list of them',
    group: 'practice',
    actions: ['choose-drill'],
    read: drill,
  },
  {
    name: 'yes',
    also: ['clean'],
    says: 'the pass, or the one just over, was clean',
    group: 'practice',
    actions: ['mark-clean'],
    read: marking('mark-clean', 'clean'),
  },
  {
    name: 'no',
    also: ['missed', 'miss'],
    says: 'it was not',
    group: 'practice',
    actions: ['mark-miss'],
    read: marking('mark-miss', 'missed'),
  },
  {
    name: 'later',
    says: 'in a set: look at this place later',
    group: 'practice',
    actions: ['mark-later'],
    read: alone(() => ({ steps: [press('mark-later')] })),
  },
];
