import type { Band } from '../../band/band.js';
import type { PartName } from '../../band/parts.js';
import type { Meeting, MeetingEvent, MeetingPlace } from '../../link/meeting-types.js';

/** A stand among several that play together, as it is shown and spoken to. `null` in the model while it plays alone. */
export interface BandView {
  /** What is known of the band, and said in it. */
  readonly band: Band;
  /** How this stand came into it. */
  readonly began: 'lead' | 'join';
  /** Where the others join; `null` until the network has answered. */
  readonly place: MeetingPlace | null;
  /** A teacher's: each student's pass comes back to it. */
  readonly isClass: boolean;
  /** The fret of the own capo; `null`: the lowest that gives open shapes. */
  readonly capo: number | null;
  /** The caller's word that was said last, and until when it is shown, ms. */
  readonly talk: { readonly from: string; readonly text: string; readonly until: number } | null;
  /** For a leader: songs that were asked for, the oldest first. */
  readonly requests: readonly { readonly from: string; readonly title: string }[];
  /** For a teacher: the last pass of each student, by their ids. */
  readonly results: ReadonlyMap<
    string,
    { readonly from: string; readonly pass: number; readonly line: string }
  >;
  /** What is to be said of the network while it lasts; empty when all is well. */
  readonly trouble: string;
}

/** How a stand is in a band, as it was called for. */
export interface BandStart {
  readonly name: string;
  readonly part: PartName;
  readonly capo: number | null;
  readonly isClass: boolean;
}

/** How the screen meets a band. */
export interface BandCall {
  readonly start: BandStart;
  /** What is done at once; `null`: the stand plays alone until its player leads. */
  readonly begins: 'lead' | 'join' | null;
  /** Opens the meeting. Events come later, never within the call. */
  readonly open: (begins: 'lead' | 'join', onEvent: (event: MeetingEvent) => void) => Meeting;
}
