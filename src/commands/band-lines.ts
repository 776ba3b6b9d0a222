import type { BandEvent } from '../band/band.js';
import { withoutKeys } from '../ui/typed/spoken.js';

/** What everybody in a band should read: the running order, and notes for all. */
export function resultsOf(event: BandEvent): readonly string[] {
  switch (event.kind) {
    case 'set': {
      const { title, songs, at } = event.set;
      if (at === null) return [`set ${title}: ${songs.length} songs`];
      const song = songs[at];
      const order = songs.length === 1 ? 'one song' : `song ${at + 1} of ${songs.length}`;
      return [`set ${title}: ${order}${song ? `, ${song.title}` : ''}`];
    }
    case 'notes':
      return event.lines.map((line) => `note: ${line}`);
    default:
      return [];
  }
}

/** What is worth knowing of what has happened in a band, a sentence each. */
export function remarksOf(event: BandEvent): readonly string[] {
  switch (event.kind) {
    case 'leader':
      return event.name === null ? [] : [event.mine ? 'this stand leads' : `${event.name} leads`];
    case 'lapsed':
      return [
        'the network is down, so the others cannot follow this stand; it leads again when the network is back',
      ];
    case 'network':
      return [event.up ? 'the network is back' : `${event.reason}; the song goes on as last received`];
    case 'unreadable':
      return [event.reason];
    case 'talk':
      return [`${event.from}: ${event.text}`];
    case 'request':
      return [`${event.from} asks for ${event.title}`];
    case 'result':
      return [`${event.from}, pass ${event.pass}: ${withoutKeys(event.line)}`];
    case 'joined':
      return [`${event.member.name} joined, ${event.member.part}`];
    case 'left':
      return [`${event.member.name} left`];
    case 'turned-away':
      return ['the leader refused this stand'];
    case 'alone':
      return ['nobody leads any more; the pass is played to the end'];
    default:
      return [];
  }
}
