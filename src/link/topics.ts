import type { Topic } from '../band/link.js';

const root = 'barkline';
const mostLevels = 8;
const mostLength = 64;

/** Whether a level of a topic is one: neither empty nor a wildcard, and nothing that MQTT or a terminal reads otherwise. */
function isLevel(level: string): boolean {
  return level.length <= mostLength && /^[\w.-]+$/.test(level);
}

/** A topic as MQTT writes it, below what is the band's own; `null` when it cannot be one. `+` stands for one level in what is subscribed. */
export function writtenTopic(band: string, topic: Topic, filter = false): string | null {
  const fits =
    topic.length > 0 &&
    topic.length <= mostLevels &&
    topic.every((level) => isLevel(level) || (filter && level === '+'));
  return fits ? `${root}/${band}/${topic.join('/')}` : null;
}

/** The topic below the band's own prefix; `null` for what is another's, or none that the band would write. */
export function readTopic(band: string, written: string, filter = false): Topic | null {
  const prefix = `${root}/${band}/`;
  if (!written.startsWith(prefix)) return null;
  const topic = written.slice(prefix.length).split('/');
  return writtenTopic(band, topic, filter) === null ? null : topic;
}
