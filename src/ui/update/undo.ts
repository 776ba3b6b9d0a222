import { passView } from '../../playback/pass-view.js';
import { withSetup } from '../../playback/session.js';
import { loopTo } from '../../playback/transport.js';
import {
  type BackStep,
  chosenNow,
  partsOf,
  shownThings,
  stepBack,
  steppedBack,
  type Thing,
} from '../state/history.js';
import type { Model } from '../state/model.js';
import type { StandMode } from '../state/modes.js';
import { drillOf, standMode } from '../state/select.js';
import { backText } from './stand/back-words.js';
import { inTurn, noticed, played, type Step, step, withStand } from './step.js';

/** What is the player's own while somebody else leads. */
const own: readonly Thing[] = ['click', 'mix', 'melody', 'picks', ...shownThings];

/**
 * Takes back what the player chose last for the song on the stand: key, tempo, loop, shape, sounds, what is shown. It is heard when the
 * choice itself would be, and moves nothing: the music goes on at the same place.
 */
export function undo(model: Model, at: number): Step {
  const mode = standMode(model);
  const { performance } = model.session;
  if (!mode || !performance) return noticed(model, nothing);
  // While changes are named by ear, nothing may sound or look different.
  if (drillOf(mode)?.dictation) return step(model);
  const { history, sight } = mode.stand;
  const back = stepBack(history, (thing) => barred(model, mode, thing) === null);
  if (!back) return noticed(model, nothingText(model, mode));
  const bars = passView(performance)?.bars.length ?? 0;
  const { range = null } = back.before;
  // A loop of bars that the chart no longer has, since it was rewritten.
  if (range && range.to > bars) return undo(forgotten(model, mode, back), at);
  const says = backText(back, chosenNow(performance.setup, sight, mode.kind === 'click'));
  const parts = partsOf(back);
  const taken = withStand(mode, {
    sight: { ...sight, ...parts.sight },
    history: steppedBack(history, back, true),
    // The taps belong to a tempo that is gone.
    taps: [],
  });
  const { range: _, ...setup } = parts.setup;
  const isLoop = Object.hasOwn(back.before, 'range');
  const set: Model = { ...model, mode: taken, session: withSetup(model.session, setup) };
  return inTurn(isLoop ? played(set, loopTo(set.session, range, at)) : step(set), (now) =>
    noticed(now, says),
  );
}

const nothing = 'nothing was chosen here that could be taken back';

function forgotten(model: Model, mode: StandMode, gone: BackStep): Model {
  return { ...model, mode: withStand(mode, { history: steppedBack(mode.stand.history, gone, false) }) };
}

/** Why a thing is not the player's to take back now, in a sentence; `null` if it is. */
function barred({ session, band }: Model, mode: StandMode, thing: Thing): string | null {
  if (mode.kind === 'follow' && band && !own.includes(thing)) return 'key, tempo and form are the leader’s';
  if (thing !== 'bpm') return null;
  if (session.link.following.label !== null) return 'the external clock sets the tempo';
  return drillOf(mode)?.ladder ? 'the ladder sets the tempo' : null;
}

function nothingText(model: Model, mode: StandMode): string {
  const things = mode.stand.history.steps.flatMap(({ before }) => Object.keys(before) as Thing[]);
  const why = things.map((thing) => barred(model, mode, thing)).find((text) => text !== null);
  if (why) return `nothing of your own to take back: ${why}`;
  return mode.kind === 'chart' && mode.text.earlier.length > 0
    ? 'nothing else was chosen here; r takes back what was written'
    : nothing;
}

/** What was said of a key that was taken back stays there when the hand is planned: `key back to A, from C: the four-finger family stays`. */
export function stillSaid(before: string, after: string): string {
  if (!before.startsWith('key back to ') || !after.startsWith('key ')) return after;
  const colon = after.indexOf(':');
  return colon < 0 ? before : before + after.slice(colon);
}
