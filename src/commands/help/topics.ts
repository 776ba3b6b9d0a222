/** A page of the reference. */
export interface Topic {
  /** Its name in `barkline help NAME`, and of its file. */
  readonly name: string;
  /** What it is about, in a few words. */
  readonly says: string;
}

/** The pages that are written by hand, each a file of Markdown in `pages/`. */
export const writtenTopics = [
  { name: 'stand', says: 'the chart on the screen: what is shown, and how to play it' },
  { name: 'hand', says: 'shapes, the way from one to the next, prompts, other instruments' },
  {
    name: 'practice',
    says: 'drills, the tempo ladder, the diary, a sitting for today, the path for beginners',
  },
  { name: 'ear', says: 'changes by ear, numbers in your head, charts at sight' },
  { name: 'teaching', says: 'a diary for each student, and weeks of practice as files' },
  { name: 'set', says: 'playing a job: cards between songs, the running order, pedals' },
  { name: 'sound', says: 'outputs, MIDI, voices, clocks, the built-in sound' },
  { name: 'patterns', says: 'the right hand, a bass that walks, loud and soft, endings' },
  { name: 'tunes', says: 'the tune of a chart: shown, played, and imported from other files' },
  { name: 'paper', says: 'printed sheets, MIDI files, ABC, MusicXML' },
  { name: 'listening', says: 'the microphone: marks as you play, passes judged, recordings, calibration' },
  { name: 'band', says: 'several laptops that play one song together' },
  { name: 'plain', says: 'without a screen: typed commands, for screen readers and pipes' },
  { name: 'care', says: 'take care of your hands and ears' },
  { name: 'trouble', says: 'when something is silent, or looks wrong: barkline doctor' },
  { name: 'files', says: 'where your files are, exit status, plain terminals, installing' },
] as const satisfies readonly Topic[];

/** The pages that are made from the program: from its commands, its key tables, its settings; and how charts are written. */
export const madeTopics = [
  { name: 'commands', says: 'every command with its options and examples' },
  { name: 'keys', says: 'every key, by the place where it works' },
  { name: 'settings', says: 'settings.yaml: each setting with its values and its default' },
  { name: 'notation', says: 'how charts and sets are written' },
] as const satisfies readonly Topic[];

/** All pages, in the order in which they are listed. */
export const topics: readonly Topic[] = [...writtenTopics, ...madeTopics];
