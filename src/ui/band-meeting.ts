import type { Publish } from '../band/band.js';
import type { Topic } from '../band/link.js';
import type { Meeting, MeetingEvent } from '../link/meeting-types.js';
import type { BandCall } from './state/band.js';

/** How long a meeting that is closed is waited for, ms: a goodbye on a network that does not answer. */
const closeMs = 1000;

/** The meeting of the band that the stand is in now, if it is in one. */
export class BandMeeting {
  private meeting: Meeting | null = null;
  /** All that were closed. */
  private closing: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly call: BandCall | null,
    private readonly onEvent: (event: MeetingEvent) => void,
  ) {}

  open(begins: 'lead' | 'join'): void {
    if (!this.call || this.meeting) return;
    const meeting = this.call.open(begins, (event) => {
      // A meeting that was left no longer counts.
      if (this.meeting === meeting) this.onEvent(event);
    });
    this.meeting = meeting;
  }

  publish(publishes: readonly Publish[]): void {
    for (const { topic, payload, retain, qos } of publishes)
      this.meeting?.publish(topic, payload, { retain, qos });
  }

  subscribe(topics: readonly Topic[]): void {
    this.meeting?.subscribe(topics);
  }

  setLeads(leads: boolean): void {
    this.meeting?.setLeads(leads);
  }

  turnAway(id: string): void {
    this.meeting?.turnAway(id);
  }

  /** Leaves the meeting. Resolves when that and what was left before is over, or was waited for long enough. */
  close(): Promise<unknown> {
    const { meeting } = this;
    this.meeting = null;
    if (meeting) this.closing = Promise.all([this.closing, meeting.close().catch(() => {})]);
    return new Promise((resolve) => {
      const enough = setTimeout(resolve, closeMs, null);
      void this.closing.then(() => {
        clearTimeout(enough);
        resolve(null);
      });
    });
  }
}
