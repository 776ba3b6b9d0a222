import { inClass } from '../../../band/band.js';
import { result } from '../../../band/say.js';
import { passView } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import { leafed } from '../../../playback/transport.js';
import type { Action } from '../../keys/actions.js';
import { leaderName } from '../../state/band.js';
import type { Model } from '../../state/model.js';
import type { FollowMode } from '../../state/modes.js';
import { leaveBand } from '../band/alone.js';
import { goneOut } from '../band/out.js';
import { heardLine, saidLine } from '../band/pass-line.js';
import type { ModeRules } from '../rules.js';
import { standAction } from '../stand/actions.js';
import { lastPassEnded, markPass, passHeard } from '../stand/marks.js';
import { flushPending, pendingDue } from '../stand/pending.js';
import { inTurn, type ModeEvent, noticed, type Step, step } from '../step.js';

/** The music is looked at again after this many bars. */
const lookBars = 8;
/** Within this time leaving must be asked for again, ms. */
const leaveMs = 3000;

/** Somebody else leads: what is played, where and how fast is theirs; how it looks and sounds here is the player's own. */
export const followRules: ModeRules<FollowMode> = {
  act,
  back: (model, mode, at) => {
    if (mode.look) return looked(model, mode, null);
    const { confirm } = model;
    if (!model.band || (confirm?.what === 'leave-band' && at - confirm.at < leaveMs))
      return model.band ? leaveBand(model, at, 'you have left the band') : step(model, { kind: 'leave' });
    return noticed({ ...model, confirm: { what: 'leave-band', at } }, 'Esc again leaves the band');
  },
  heard,
  due: pendingDue,
  leaving: flushPending,
};

/** What only the leader can do, and the sentence that says so. */
function leadersOwn(action: Action, leader: string): string | null {
  const tempo = `${leader} sets the tempo; B asks`;
  if (action.startsWith('share-')) return tempo;
  switch (action) {
    case 'play':
      return `${leader} starts and stops the music`;
    case 'slower':
    case 'faster':
    case 'tap':
      return tempo;
    case 'key-down':
    case 'key-up':
    case 'choose-key':
      return `${leader} sets the key; B asks`;
    case 'choose-pattern':
      return `${leader} sets the pattern`;
    case 'loop-from':
    case 'loop-to':
    case 'loop-off':
    case 'last-pass':
    case 'count-in':
    case 'extend':
    case 'ending':
    case 'hold':
    case 'one-pass-more':
    case 'next-chord':
      return `${leader} sets the form; B asks`;
    case 'edit-bar':
    case 'undo':
    case 'choose-drill':
      return 'leave the band for that: B, then o';
    default:
      return null;
  }
}

function act(model: Model, mode: FollowMode, action: Action, at: number): Step {
  const { performance } = model.session;
  const leader = model.band && leaderName(model.band);
  const barred = leadersOwn(action, leader ?? 'nobody');
  if (barred !== null)
    return noticed(model, leader === null ? 'nobody leads now: press B, then l, to lead' : barred);
  const bar = performance && lookBar(performance, mode, action);
  if (performance && bar !== null) return lookAt(model, mode, bar);
  if (action === 'to-start') return looked(model, mode, null);
  if (action === 'mark-clean' || action === 'mark-miss')
    return marked(model, mode, action === 'mark-clean' ? 'clean' : 'miss');
  return standAction(model, mode, action, at);
}

/** The bar that a key lets the player look at; `null` where it is none of these. */
function lookBar(performance: Performance, { look }: FollowMode, action: Action): number | null {
  const bar = look?.bar ?? performance.cursor.bar;
  const there = { ...performance, cursor: { ...performance.cursor, bar } };
  switch (action) {
    case 'bar-back':
      return bar - 1;
    case 'bar-on':
      return bar + 1;
    case 'section-back':
      return leafed(there, 'back');
    case 'section-on':
      return leafed(there, 'on');
    case 'to-end':
      return leafed(there, 'end');
    default:
      return null;
  }
}

/** A bar is looked at; the music goes on elsewhere. */
export function lookAt(model: Model, mode: FollowMode, bar: number): Step {
  const { performance } = model.session;
  const view = performance && passView(performance);
  if (!view) return step(model);
  const place = Math.max(0, Math.min(view.bars.length - 1, bar));
  return looked(model, mode, place === performance.cursor.bar ? null : place);
}

function looked(model: Model, mode: FollowMode, bar: number | null): Step {
  return step({
    ...model,
    notice: '',
    mode: { ...mode, look: bar === null ? null : { bar, left: lookBars } },
  });
}

/** The player says how a pass was; in a class the teacher hears of it. */
function marked(model: Model, mode: FollowMode, said: 'clean' | 'miss'): Step {
  const { performance } = model.session;
  const isBefore = mode.stand.pending !== null && mode.stand.pending.said === null;
  const runs = model.session.link.state === 'running';
  return inTurn(markPass(model, mode, said), (now) =>
    performance && (isBefore || runs)
      ? told(now, isBefore ? mode.ended : performance.cursor.pass, saidLine(performance, said))
      : step(now),
  );
}

/** A line on a pass goes back to the teacher, where somebody teaches. */
function told(model: Model, pass: number, line: string): Step {
  const { band: view } = model;
  if (!view || !inClass(view.band)) return step(model);
  return goneOut(model, result(view.band, Math.max(1, pass), line));
}

function heard(model: Model, mode: FollowMode, event: ModeEvent): Step {
  const { performance } = model.session;
  switch (event.kind) {
    case 'moved':
      return event.newBeat ? beatLooked(model, mode) : step(model);
    case 'pass-ended': {
      const ended = Math.max(1, (performance?.cursor.pass ?? 2) - 1);
      const next = { ...mode, ended };
      return passHeard({ ...model, mode: next }, next, event);
    }
    case 'take-ended': {
      const next = { ...mode, ended: performance?.cursor.pass ?? 1 };
      return lastPassEnded({ ...model, mode: next }, next, event.at);
    }
    case 'pass-heard': {
      const line = performance && heardLine(performance, event.verdict, mode.stand.heard?.says ?? []);
      return inTurn(passHeard(model, mode, event), (now) =>
        line !== null && event.began !== null ? told(now, mode.ended, line) : step(now),
      );
    }
    default:
      return passHeard(model, mode, event);
  }
}

/** The music has come a beat on: with the bars what is looked at comes nearer to its end, or is reached. */
function beatLooked(model: Model, mode: FollowMode): Step {
  const { cursor } = model.session.performance ?? {};
  const { look } = mode;
  if (!look || !cursor || cursor.counting || cursor.beat !== 0) return step(model);
  const left = look.left - 1;
  const next = left <= 0 || cursor.bar === look.bar ? null : { ...look, left };
  return step({ ...model, mode: { ...mode, look: next } });
}
