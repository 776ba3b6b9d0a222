import { safeText } from '../../../base/safe-text.js';
import { usualNeck } from '../../../hand/neck-sight.js';
import { prompt } from '../../../hand/prompt.js';
import { passView, sectionStarts } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import type { BarRange } from '../../../playback/setup.js';
import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import { drillOf } from '../../state/select.js';
import { whereWords } from '../bar-words.js';
import { toldOf, whereIn } from '../from-model.js';
import { alone, asking, fill, type Order, press, telling, type Word, wholeOf } from '../order.js';
import { spokenChord, spokenNumber } from '../spoken.js';
import { nothing } from './playing.js';

/** Presses a key that moves, and tells where that leads. */
export function moving(actionOf: (model: Model) => Action): Order {
  return {
    steps: [{ send: (model, at) => [{ kind: 'action', action: actionOf(model), at }] }],
    answer: (_, after, said, sent) => said || (after.mode.kind === 'set' ? whereIn(after) : placeText(sent)),
  };
}

/** Where the cursor is, shortly. */
function placeText(model: Model): string {
  const { performance } = model.session;
  if (!performance) return whereIn(model);
  const look = model.mode.kind === 'follow' ? (model.mode.look?.bar ?? null) : null;
  const there: Performance =
    look === null
      ? { ...performance, cursor: { ...performance.cursor, beat: null, counting: false } }
      : { ...performance, cursor: { ...performance.cursor, bar: look, beat: null, counting: false } };
  return whereWords(there, toldOf(model));
}

/** Next and back mean what the mode has to leaf through: songs, chords that wait, sections. */
function nextOf({ mode }: Model): Action {
  if (mode.kind === 'set') return 'song-next';
  if (drillOf(mode)?.dictation || (mode.kind === 'sitting' && mode.phase !== 'playing')) return 'go-on';
  return drillOf(mode)?.drill.start.waits ? 'next-chord' : 'section-on';
}

function backOf({ mode }: Model): Action {
  if (mode.kind === 'set') return 'song-back';
  return drillOf(mode)?.drill.start.waits ? 'bar-back' : 'section-back';
}

function goTo(text: string): Order {
  return {
    steps: [press('go-to'), ...fill(text)],
    answer: ({ session }, after, said, sent) =>
      session.performance === null
        ? nothing
        : after.overlay?.kind === 'line' && after.overlay.fault !== ''
          ? after.overlay.fault
          : said || placeText(sent),
  };
}

/** The bars that are named: `5-8`, `5`, a section, the hardest change; a text for what is wrong. */
function rangeNamed(model: Model, text: string): BarRange | string {
  const { performance } = model.session;
  const view = performance && passView(performance);
  if (!performance || !view) return nothing;
  const bars = view.bars.length;
  const [, first, last = first] = /^(?:bars? )?(\d{1,5})(?: ?(?:-|to|–) ?(\d{1,5}))?$/i.exec(text) ?? [];
  if (first !== undefined) {
    const [from, to] = [Number(first), Number(last)];
    if (from >= 1 && from <= to && to <= bars) return { from: from - 1, to };
    return `there are bars 1 to ${bars}: loop 5-8`;
  }
  if (/^hardest( change)?$/i.test(text)) {
    const bar = hardestBar(performance);
    return bar === null
      ? 'no change of this chart has a motion'
      : { from: Math.max(0, bar - 1), to: bar + 1 };
  }
  const starts = sectionStarts(view);
  const named = starts.filter((start) =>
    view.bars[start]?.section.toLowerCase().startsWith(text.toLowerCase()),
  );
  const from = named.find((start) => start >= performance.cursor.bar) ?? named[0];
  if (from === undefined) return `no section begins with “${safeText(text)}”; loop 5-8 names bars`;
  return { from, to: starts.find((start) => start > from) ?? bars };
}

/** The bar whose change takes the hand longest, from 0; `null` where nothing moves. */
function hardestBar(performance: Performance): number | null {
  const changes = passView(performance)?.plan.changes ?? [];
  const moved = changes.filter(({ motion, bar }) => motion !== null && bar > 0);
  const most = Math.max(...moved.map(({ motion }) => motion?.ms ?? 0));
  return moved.find(({ motion }) => motion?.ms === most)?.bar ?? null;
}

function loop(text: string): Order {
  return asking(
    (model) => {
      const range = rangeNamed(model, text);
      return typeof range === 'string' ? null : { kind: 'loop', range };
    },
    (before) => {
      const range = rangeNamed(before, text);
      if (typeof range === 'string') return range;
      return range.to - range.from === 1
        ? `loop: bar ${range.to}, until loop off`
        : `loop: bars ${range.from + 1} to ${range.to}, until loop off`;
    },
  );
}

/** A loop whose end is under the cursor, or its beginning. */
function marking(action: Action): Order {
  return {
    steps: [press(action)],
    answer: (_, { session }) => {
      const range = session.performance?.setup.range;
      return range ? `loop: bars ${range.from + 1} to ${range.to}` : nothing;
    },
  };
}

/** Where the music is, and where it goes. */
export const placeWords: readonly Word[] = [
  {
    name: 'where',
    also: ['now'],
    says: 'bar, beat, section, the chord now, and the next one with the motion that reaches it',
    group: 'place',
    actions: ['peek'],
    anywhere: true,
    reveals: true,
    read: alone(() => telling((_, after) => whereIn(after))),
  },
  {
    name: 'next',
    says: 'the next section; in a set the next song’s card; the next chord where it waits',
    group: 'place',
    actions: ['section-on', 'song-next', 'next-chord', 'go-on'],
    read: alone(() => moving(nextOf)),
  },
  {
    name: 'back',
    also: ['previous'],
    says: 'the section’s start, then the one before; in a set the card before',
    group: 'place',
    actions: ['section-back', 'song-back', 'bar-back'],
    read: alone(() => moving(backOf)),
  },
  {
    name: 'go',
    also: ['go to', 'goto', 'section'],
    takes: '12, or chorus',
    says: 'to a bar or a section; go alone lets a held chord go',
    group: 'place',
    actions: ['go-to'],
    read: (rest) =>
      rest === ''
        ? moving((model) =>
            model.session.performance?.cursor.waits || model.session.performance?.vamp ? 'hold' : 'to-start',
          )
        : goTo(rest),
  },
  {
    name: 'bar on',
    also: ['next bar'],
    says: 'a bar on',
    group: 'place',
    actions: ['bar-on'],
    read: alone(() => moving(() => 'bar-on')),
  },
  {
    name: 'bar back',
    says: 'a bar back',
    group: 'place',
    actions: ['bar-back'],
    read: alone(() => moving(() => 'bar-back')),
  },
  {
    name: 'top',
    also: ['first'],
    says: 'to the first bar; back to the music where somebody leads',
    group: 'place',
    actions: ['to-start'],
    read: alone(() => moving(() => 'to-start')),
  },
  {
    name: 'last section',
    says: 'to the last section',
    group: 'place',
    actions: ['to-end'],
    read: alone(() => moving(() => 'to-end')),
  },
  {
    name: 'loop',
    takes: '5-8, chorus, or hardest',
    says: 'these bars over and over; loop off ends it, with the pass that plays',
    group: 'place',
    actions: ['loop-from', 'loop-to', 'loop-off'],
    read: (rest) => {
      if (rest === '')
        return telling((_, { session }) => {
          const range = session.performance?.setup.range;
          return range ? `loop: bars ${range.from + 1} to ${range.to}` : 'no loop; loop 5-8 makes one';
        });
      if (/^off|none|no$/i.test(rest))
        return asking(
          () => ({ kind: 'loop', range: null }),
          ({ session }) =>
            session.performance?.setup.range ? 'no loop: it ends with this pass' : 'there is no loop',
        );
      if (/^from( here)?$/i.test(rest)) return marking('loop-from');
      return /^to( here)?$/i.test(rest) ? marking('loop-to') : loop(rest);
    },
  },
  {
    name: 'hardest',
    says: 'the change that takes the hand longest, and where it is',
    group: 'place',
    actions: [],
    anywhere: true,
    reveals: true,
    read: alone(() =>
      telling((_, { session, look }) => {
        const { performance } = session;
        const bar = performance && hardestBar(performance);
        const view = performance && passView(performance);
        const change = view?.plan.changes.find((one) => one.bar === bar && one.motion !== null);
        if (bar === null || !change?.motion) return performance ? 'nothing moves in this chart' : nothing;
        const way = prompt(change.motion, look.neck ?? usualNeck).sentence.replaceAll(';', ',');
        return `the hardest change is into bar ${bar + 1}, ${spokenNumber(change.number)}, ${spokenChord(change.chord)}: ${way}; loop hardest practises it`;
      }),
    ),
  },
];

/** A number alone is a bar to go to. */
export function barAlone(text: string): Order | null {
  return wholeOf(text) === null ? null : goTo(text);
}
