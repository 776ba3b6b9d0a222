import type { Topic } from '../band/link.js';
import type { MeetingOptions } from './meeting.js';
import type { Meeting } from './meeting-types.js';

/**
 * Meets a band as `openMeeting` does, and loads the modules for that only now, so that the start is not slower without a band. What is asked of it meanwhile is done as
 * soon as it is there.
 */
export function openLateMeeting(options: MeetingOptions): Meeting {
  return new LateMeeting(options);
}

class LateMeeting implements Meeting {
  readonly id: string;
  private meeting: Meeting | null = null;
  private closed = false;
  private readonly waiting: ((meeting: Meeting) => void)[] = [];
  private readonly loading: Promise<void>;

  constructor(options: MeetingOptions) {
    this.id = options.seat.id;
    this.loading = import('./meeting.js').then(({ openMeeting }) => {
      if (this.closed) return;
      const meeting = openMeeting(options);
      this.meeting = meeting;
      for (const act of this.waiting.splice(0)) act(meeting);
    });
  }

  publish(topic: Topic, payload: Uint8Array, options: { retain: boolean; qos: 0 | 1 }): void {
    this.do((meeting) => meeting.publish(topic, payload, options));
  }

  subscribe(topics: readonly Topic[]): void {
    this.do((meeting) => meeting.subscribe(topics));
  }

  setLeads(leads: boolean): void {
    this.do((meeting) => meeting.setLeads(leads));
  }

  turnAway(id: string): void {
    this.do((meeting) => meeting.turnAway(id));
  }

  async close(): Promise<void> {
    this.closed = true;
    await this.loading;
    await this.meeting?.close();
  }

  private do(act: (meeting: Meeting) => void): void {
    if (this.meeting) act(this.meeting);
    else this.waiting.push(act);
  }
}
