import type { BandCall } from '../ui/state/band.js';
import { type BandFlags, bandCapo } from './band-flags.js';
import { type BandPlace, meet } from './band-meeting.js';

/** How the screen meets a band: as the command line says, or, with `begins` `null`, as soon as its player leads. */
export function bandCall(
  flags: BandFlags & { readonly class?: boolean },
  place: BandPlace,
  begins: BandCall['begins'],
): BandCall {
  return {
    start: {
      name: place.name,
      part: flags.part ?? 'mandolin',
      capo: bandCapo(flags.capo),
      isClass: flags.class ?? false,
    },
    begins,
    open: (role, onEvent) => meet(place, role, onEvent),
  };
}
