import { will } from '../band/say.js';
import type { BrokerAddress } from '../link/address.js';
import { openLateMeeting } from '../link/late-meeting.js';
import type { Meeting, MeetingEvent } from '../link/meeting-types.js';
import { newSeat } from '../link/seat.js';

/** Where and as whom a stand meets its band. */
export interface BandPlace {
  readonly word: string | null;
  readonly address: BrokerAddress | null;
  readonly port: number | null;
  readonly ca: Uint8Array | null;
  readonly name: string;
}

/** Opens the meeting of a stand that leads or joins. */
export function meet(
  place: BandPlace,
  begins: 'lead' | 'join',
  onEvent: (event: MeetingEvent) => void,
): Meeting {
  const seat = newSeat();
  return openLateMeeting({ ...place, begins, seat, lastWord: () => will(seat.id), onEvent });
}
