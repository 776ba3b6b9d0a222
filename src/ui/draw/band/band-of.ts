import { leads } from '../../../band/band.js';
import { type BandView, leaderName } from '../../state/band.js';
import type { BandLine } from './band-line.js';
import type { Player } from './break-pieces.js';

/** Who leads, and how many are there. */
export function leadOf(view: BandView): Pick<BandLine, 'leads' | 'here' | 'leader'> {
  return { leads: leads(view.band), here: view.band.members.size + 1, leader: leaderName(view) };
}

/** Who looks at this stand. */
export function playerOf(view: BandView): Player {
  const { part, name } = view.band;
  return { part, name, leads: leads(view.band), leader: leaderName(view) };
}
