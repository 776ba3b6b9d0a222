import type { Link, LinkEvent } from '../band/link.js';

/** Where a band meets, for a person: the word others join by, the address of the broker, and whether this stand runs it. */
export interface MeetingPlace {
  readonly word: string;
  readonly address: string;
  readonly carried: boolean;
}

/** What happens where a band meets: what the link says, where that is, and sentences for a person. */
export type MeetingEvent =
  | LinkEvent
  | { readonly kind: 'met'; readonly place: MeetingPlace }
  | { readonly kind: 'notice'; readonly sentence: string };

/**
 * Where a stand meets its band: its link and, where it leads at no other's broker, the broker and the announcement on the network. When a
 * broker has died, the others look for the word on the network, and whoever leads next opens one under the same word.
 */
export interface Meeting extends Link {
  /** The own id in the band. */
  readonly id: string;
  /** This stand leads, or no longer does. */
  setLeads(leads: boolean): void;
  /** The broker no longer lets a stand in. Without effect on a broker of somebody else. */
  turnAway(id: string): void;
}
