import { exit, Stop } from '../exit.js';

/** What is said if there is no result in the end: what should have been heard, and whether anything came from the microphone at all. */
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
      'too few chops were heard with the clicks',
      'chop on each click, near the microphone, and try again',
    );
  if (silent)
    return new Stop(
      exit.machine,
      'no sound comes from the microphone',
      'check that it is connected; barkline doctor says which one is heard, and how loud',
    );
  return new Stop(
    exit.machine,
    'the microphone does not hear the clicks',
    'turn up the volume a little, or move the microphone closer to the loudspeaker; with headphones, use --headphones',
  );
}

/** What is said where no output can be played through. */
export function unplayable(reasons: readonly string[]): Stop {
  const what = reasons.length > 0 ? reasons.join('; ') : 'there is no output to play the clicks';
  return new Stop(
    exit.machine,
    what,
    'barkline ports lists the outputs that work now; barkline doctor says what to do if something does not work',
  );
}
