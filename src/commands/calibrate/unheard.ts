import { exit, Stop } from '../exit.js';

/** What is said where nothing can be told in the end: who was to be heard, and whether anything came from the microphone at all. */
export function unheard({
  headphones,
  silent,
}: {
  readonly headphones: boolean;
  readonly silent: boolean;
}): Stop {
  if (headphones)
    return new Stop(
      exit.input,
      'too few chops were heard beside the clicks',
      'chop on each click, near the microphone, and try again',
    );
  if (silent)
    return new Stop(
      exit.machine,
      'no sound at all comes from the microphone',
      'look whether it is connected; barkline doctor says which is heard, and how loud',
    );
  return new Stop(
    exit.machine,
    'the clicks are not heard by the microphone',
    'turn the volume up a little, move the microphone nearer to the loudspeaker; with headphones, write --headphones',
  );
}

/** What is said where no output can be played through. */
export function unplayable(reasons: readonly string[]): Stop {
  const what = reasons.length > 0 ? reasons.join('; ') : 'there is nothing to play clicks through';
  return new Stop(
    exit.machine,
    what,
    'barkline ports lists what can be heard now; barkline doctor says what to do where something cannot',
  );
}
