import type { KeyPlace } from './bindings.js';

/** What each place is, as a heading of the list of all keys. */
export const placeWords: Readonly<Record<KeyPlace, string>> = {
  stand: 'A chart on the stand',
  asking: 'A drill that asks whether the pass was clean',
  judged: 'A drill whose pass was heard, while the next one is counted in',
  waiting: 'A drill that waits for you before each chord',
  dictation: 'Changes by ear',
  sitting: 'A sitting, between its parts',
  card: 'A set, between songs',
  song: 'A set, in a song',
  order: 'The running order of a set',
  requests: 'All charts, to add a request to a set',
  transcribe: 'Writing down a song as it is called',
  click: 'A click without a song',
  follow: 'A stand that follows a leader',
  band: 'The band',
  library: 'The list of charts',
  choose: 'A list to choose from that is searched: keys, outputs, patterns, drills',
  panel: 'A short list to choose from: clicks, shapes, pedals',
  voices: 'The voices',
  tuning: 'Tuning',
  help: 'The keys on the screen',
  line: 'A line that is typed',
};
