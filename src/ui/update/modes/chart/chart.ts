import type { ChartOpened } from '../../../state/messages.js';
import type { Model } from '../../../state/model.js';
import type { ChartMode } from '../../../state/modes.js';
import type { ModeRules } from '../../rules.js';
import { standAction } from '../../stand/actions.js';
import { openDrills } from '../../stand/drills.js';
import { lastPassEnded, passHeard } from '../../stand/marks.js';
import { flushPending, pendingDue } from '../../stand/pending.js';
import { newStand, putOn, toLibrary } from '../../stand/put-on.js';
import { inTurn, noticed, type Step, step } from '../../step.js';
import { openBar, unwrite } from './pencil.js';

/** A chart that is practised or played for its own sake. */
export const chartRules: ModeRules<ChartMode> = {
  act: (model, mode, action, at) => {
    switch (action) {
      case 'edit-bar':
        return openBar(model, mode);
      case 'undo':
        return unwrite(model, mode);
      case 'choose-drill':
        return openDrills(model, at);
      default:
        return standAction(model, mode, action, at);
    }
  },
  back: (model, mode, at) => {
    // What is in no file would be lost: it is asked about once.
    if (mode.text.source === mode.text.saved || model.confirm?.what === 'drop-edits')
      return inTurn(flushPending(model, mode), toLibrary);
    const confirm = { what: 'drop-edits', at } as const;
    return noticed(
      { ...model, confirm },
      'what you wrote is not saved: b and Enter save it, Esc again drops it',
    );
  },
  heard: (model, mode, event) => {
    switch (event.kind) {
      case 'play-sent':
        return inTurn(passHeard(model, mode, event), (now) => playedNow(now, mode));
      case 'take-ended':
        return lastPassEnded(model, mode, event.at);
      default:
        return passHeard(model, mode, event);
    }
  },
  due: pendingDue,
  leaving: flushPending,
};

/** A chart is opened from its file. */
export function openChart(model: Model, { file, chart, start, source }: ChartOpened): Step {
  const mode: ChartMode = {
    kind: 'chart',
    stand: newStand(start),
    text: { file, source, earlier: [], saved: source, saving: false },
  };
  return putOn(model, mode, chart, start);
}

/** It begins to play: that is kept, so that what was played last stands first in the list. */
function playedNow(model: Model, { text: { file } }: ChartMode): Step {
  return file === '' ? step(model) : step(model, { kind: 'keep', file, choices: {}, played: true });
}
