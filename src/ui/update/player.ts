import { safeText } from '../../base/safe-text.js';
import type { ClientMessage } from '../../player/client.js';
import { latenessText } from '../../player/lateness.js';
import { heardLevels } from '../../time/sound.js';
import type { Model, PlayerView, Updated } from '../model.js';
import { armed } from './follow.js';
import { cardMessages, ledIntoSong, pauseNoted } from './run.js';
import { takeOver } from './shed.js';
import { clock, playIfEager } from './transport.js';

/** Something the player's process said. */
export function heard(model: Model, message: ClientMessage, at: number): Updated {
  const player = (changes: Partial<PlayerView>, notice = model.notice): Updated => ({
    model: { ...model, notice, player: { ...model.player, ...changes } },
    effects: [],
  });
  switch (message.kind) {
    case 'opened': {
      const notice = message.refused.length > 0 ? message.refused.map(safeText).join('; ') : model.notice;
      const opened = player({ output: message.label, out: message.out, lead: message.lead }, notice);
      const eager = playIfEager(opened.model);
      // What a song needs is told to an output that comes while its card is shown.
      const told = model.set ? cardMessages(model.set) : [];
      return {
        model: eager.model,
        effects: [{ kind: 'remember-output', out: message.out }, ...told, ...eager.effects],
      };
    }
    case 'failed': {
      const reasons = message.reasons.map(safeText).join('; ');
      return playIfEager(player({ output: model.player.output ?? 'silent' }, reasons).model);
    }
    case 'destinations':
      return player({ destinations: message.destinations });
    case 'spans':
      return clock(player({ spans: message.spans }).model, at);
    case 'state': {
      const led = message.state === 'running' ? ledIntoSong(model, at) : model;
      const begun = pauseNoted(led, message.state, at);
      const changed = stateChanged(begun, message.state, message.tick);
      // A take that came to its end by itself; a pause, or the end of tuning, is no end of a pass.
      if (message.state !== 'stopped' || model.player.state !== 'running' || model.stand?.tuning) {
        // What was to begin as soon as the music before it had stopped.
        const eager = message.state === 'running' ? null : playIfEager(changed.model);
        return eager ? { model: eager.model, effects: [...changed.effects, ...eager.effects] } : changed;
      }
      const over = takeOver(changed.model, at);
      return { model: over.model, effects: [...changed.effects, ...over.effects] };
    }
    case 'trouble':
      return player({}, safeText(message.message));
    case 'lateness':
      return player({}, latenessText(message.report));
    case 'listening': {
      const following = { label: message.label, state: null, song: 0 };
      const notice =
        message.label === null
          ? safeText(message.reason ?? '')
          : `follows the clock of ${safeText(message.label)}: it starts and stops the music`;
      return armed(player({ following }, notice).model, 0);
    }
    case 'place':
      return armed(model, message.song);
    case 'following': {
      const notice =
        message.state === 'riding'
          ? 'the outside clock has gone; time goes on without it'
          : message.state === 'locked' && model.player.following.state === 'riding'
            ? 'the outside clock is back'
            : model.notice;
      return player({ following: { ...model.player.following, state: message.state } }, notice);
    }
    case 'died': {
      const died = stateChanged(model, 'stopped', model.player.freeTick).model;
      return {
        model: {
          ...died,
          notice: `the player died (${safeText(message.reason)}); another stands ready, press Space to go on`,
        },
        effects: [],
      };
    }
    default:
      return { model, effects: [] };
  }
}

function stateChanged(model: Model, state: PlayerView['state'], tick: number): Updated {
  const player: PlayerView = {
    ...model.player,
    state,
    freeTick: Math.max(model.player.freeTick, Math.ceil(tick) + 1),
    ...(state === 'running' ? {} : { spans: [] }),
  };
  const { stand } = model;
  if (!stand || state === 'running') return { model: { ...model, player }, effects: [] };
  // A take that played to its end begins again at its beginning; a pause stays where it is.
  const bar = state === 'stopped' && stand.passes !== null ? (stand.range?.from ?? 0) : stand.cursor.bar;
  const cursor = { ...stand.cursor, bar, beat: null, counting: false, bpm: null };
  return {
    model: {
      ...model,
      player,
      notice: stand.tuning ? '' : model.notice,
      stand: { ...stand, conductor: null, turn: null, held: null, tuning: false, cursor },
    },
    // While the courses sounded for tuning they alone were heard.
    effects: stand.tuning ? [{ kind: 'levels', levels: heardLevels(stand.mix) }] : [],
  };
}
