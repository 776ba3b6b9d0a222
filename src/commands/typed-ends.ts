import type { Action } from '../ui/keys/actions.js';
import type { Model } from '../ui/state/model.js';
import { drillOf } from '../ui/state/select.js';
import { overFor } from './over.js';

/** Whether somebody is there: at a terminal, or as far as can be known of a pipe. */
export interface Attendance {
  /** Something was typed. */
  readonly typed: boolean;
  /** No more will be. */
  readonly ended: boolean;
  readonly isTTY: boolean;
}

/** Whether nobody is there who could ask for anything. */
export function unattended({ typed, ended, isTTY }: Attendance): boolean {
  return ended || (!isTTY && !typed);
}

/** Whether a chart or set was only to be played, and is over: nobody has typed anything, and it is no terminal. */
export function onlyPlays({ mode }: Pick<Model, 'mode'>, attendance: Attendance): boolean {
  if (attendance.typed || attendance.isTTY) return false;
  return mode.kind === 'chart' || (mode.kind === 'set' && mode.run.phase === 'over');
}

/**
 * What comes when the input is over: it waits for what comes by itself, an action that nobody will ask for any more, the end, or that
 * the band is lost.
 */
export function isIdle(model: Model, at: number): 'waits' | 'over' | 'lost' | Action {
  const { mode, session, band } = model;
  const { performance, link } = session;
  if (link.state === 'running' || performance?.eager || performance?.conductor) return 'waits';
  if (link.following.label !== null) return 'waits';
  switch (mode.kind) {
    case 'follow': {
      const over = band && overFor(band.band, session, at);
      return over ? (over === 'lost' ? 'lost' : 'over') : band ? 'waits' : 'over';
    }
    case 'set':
      if (mode.broken) return 'over';
      switch (mode.run.phase) {
        case 'faults':
          return 'go-on';
        case 'card':
          return mode.run.until === null ? 'go-on' : 'waits';
        case 'over':
          return 'over';
        default:
          return 'waits';
      }
    case 'sitting':
      return mode.phase === 'done' ? 'over' : 'waits';
    default:
      return drillOf(mode)?.asking == null ? 'over' : 'waits';
  }
}
