import { chopCount } from '../../listen/live/start-by-chops.js';
import type { Model } from './model.js';
import { drillOf, standMode } from './select.js';

const words: Readonly<Record<number, string>> = { 4: 'four', 5: 'five', 6: 'six', 7: 'seven', 8: 'eight' };

/** Whether chops begin something now: it listens and hears well, nothing plays, no overlay is open, and a chart or a card is there to be begun. */
export function chopsBegin({ mode, overlay, session, ear }: Model): boolean {
  if (!ear.on || ear.opened === null || ear.trouble !== '' || overlay || session.link.state === 'running')
    return false;
  switch (mode.kind) {
    case 'chart':
    case 'drill':
      return (drillOf(mode)?.asking ?? null) === null && !isNaming(mode);
    case 'sitting':
      return (
        mode.phase === 'card' ||
        (mode.phase === 'playing' && (mode.play?.asking ?? null) === null && !isNaming(mode))
      );
    case 'set':
      return mode.broken === null && (mode.run.phase === 'card' || mode.run.phase === 'song');
    default:
      return false;
  }
}

/** `four chops`, where they begin something now; empty where they do not. */
export function chopsText(model: Model): string {
  if (!chopsBegin(model) || !standMode(model)) return '';
  const count = chopCount(model.session.performance?.setup.chart ?? null);
  return `${words[count] ?? count} chops`;
}

/** Where changes are named by ear chops are answers, and begin nothing. */
function isNaming(mode: Model['mode']): boolean {
  return (drillOf(mode)?.dictation ?? null) !== null;
}
