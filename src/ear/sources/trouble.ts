import { quoted } from '../../base/safe-text.js';
import { CannotHear } from './source.js';

/** What the system's words for a fault mean. They are the same for all ways of recording, since what a person can do is the same. */
const kinds: readonly { readonly words: RegExp; readonly reason: CannotHear['reason'] }[] = [
  { words: /busy|in use|EBUSY/i, reason: 'busy' },
  { words: /permission|denied|not permitted|EACCES|EPERM|not authorized/i, reason: 'denied' },
  {
    words:
      /no such (file|device)|unknown pcm|cannot get card|no longer available|unplugged|not found|no microphone/i,
    reason: 'absent',
  },
];

/** A fault of opening a microphone as a sentence, from what the system said of it. `name`: `null` for the usual one. */
export function cannotOpen(name: string | null, said: string): CannotHear {
  const what = name === null ? 'the usual microphone' : `the microphone ${quoted(name, 60)}`;
  const reason = kinds.find(({ words }) => words.test(said))?.reason ?? 'other';
  switch (reason) {
    case 'busy':
      return new CannotHear(
        `${what} is in use by another program; close that one, or choose another with --microphone`,
        reason,
      );
    case 'denied':
      return new CannotHear(`${what} may not be opened; ${howToPermit()}`, reason);
    case 'absent':
      return new CannotHear(
        name === null
          ? 'no microphone was found; connect one, or name one that barkline ports lists with --microphone'
          : `${what} is not there; connect it, or name one that barkline ports lists`,
        reason,
      );
    default:
      return new CannotHear(
        `${what} cannot be opened (${firstLine(said)}); choose another with --microphone`,
        reason,
      );
  }
}

/** A microphone that went away while it was heard. */
export function hasGone(name: string): string {
  return `the microphone ${quoted(name, 60)} has been disconnected; connect it again (the music goes on)`;
}

/** What to do where the system forbids listening. */
export function howToPermit(platform: NodeJS.Platform = process.platform): string {
  if (platform === 'darwin')
    return 'allow this terminal in System Settings, Privacy & Security, Microphone, and start it again';
  if (platform === 'win32') return 'allow desktop apps in Settings, Privacy & security, Microphone';
  return 'add yourself to the group audio, and log in again';
}

function firstLine(said: string): string {
  const line = said.split('\n').find((one) => one.trim() !== '') ?? 'no reason was given';
  return quoted(line.trim(), 80);
}
