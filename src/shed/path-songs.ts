import { songOfFive, songOfThree } from './path-steps.js';

/** A song that can be played whole from some step of the path on: how a sitting ends. Ours, without melody. */
export interface PathSong {
  readonly id: string;
  readonly title: string;
  /** Quarters a minute. */
  readonly bpm: number;
  /** What is said of it on its card. */
  readonly says: string;
  /** Keys, each set from the step on that teaches them; `null`: from the first day on. */
  readonly keys: readonly { readonly after: string | null; readonly keys: readonly string[] }[];
  /** Its chart without title, key and tempo. */
  readonly chart: string;
}

/** The songs, the easiest first. */
export const pathSongs: readonly PathSong[] = [
  {
    id: 'lantern-row',
    title: 'Lantern Row',
    bpm: 70,
    says: 'A slow song with the bass: chop where the chord is 1, listen where it is not.',
    keys: [{ after: null, keys: ['G'] }],
    chart: [
      'pattern: chop',
      'form: home (me: chop), away (me: rest), home (me: chop)',
      'sections:',
      '  home: |',
      '    1 1 1 1',
      '  away: |',
      '    4 4 5 5',
    ].join('\n'),
  },
  {
    id: 'two-gates',
    title: 'Two Gates',
    bpm: 80,
    says: 'A song with two chords, from beginning to end.',
    keys: [
      { after: 'home-and-four', keys: ['G'] },
      { after: 'same-shapes-higher', keys: ['A'] },
    ],
    chart:
      'pattern: chop\nform: V, C\nsections:\n  V: |\n    1 1 4 4\n    1 1 4 1\n  C: |\n    4 4 1 1\n    4 4 1 1',
  },
  {
    id: 'hinge-and-lantern',
    title: 'Hinge and Lantern',
    bpm: 84,
    says: 'A song with 1, 4 and 5, from beginning to end.',
    keys: [
      { after: 'song-of-three', keys: ['G'] },
      { after: 'same-shapes-higher', keys: ['A', 'Bb', 'B'] },
      { after: 'three-fingers', keys: ['D', 'E', 'C'] },
    ],
    chart: songOfThree,
  },
  {
    id: 'three-oar-waltz',
    title: 'Three Oar Waltz',
    bpm: 100,
    says: 'In three: the chops are on 2 and 3.',
    keys: [
      { after: 'song-of-three', keys: ['G'] },
      { after: 'three-fingers', keys: ['D'] },
    ],
    chart: 'meter: 3/4\npattern: chop\nsections:\n  V: |\n    1 1 4 1\n    1 1 5 5\n    1 1 4 1\n    4 5 1 1',
  },
  {
    id: 'rope-ferry',
    title: 'Rope Ferry',
    bpm: 90,
    says: 'A song with the minor chords, from beginning to end.',
    keys: [
      { after: 'minor-neighbours', keys: ['G', 'A'] },
      { after: 'both-families', keys: ['D', 'B'] },
    ],
    chart: songOfFive,
  },
];

/** The song of a name; `null` for none. */
export function songNamed(id: string): PathSong | null {
  return pathSongs.find((song) => song.id === id) ?? null;
}

/** The songs that can be played, each in the keys that are known, when these steps are done. */
export function openSongs(
  done: ReadonlySet<string>,
): readonly { readonly song: PathSong; readonly keys: readonly string[] }[] {
  return pathSongs.flatMap((song) => {
    const keys = song.keys
      .filter(({ after }) => after === null || done.has(after))
      .flatMap((one) => one.keys);
    return keys.length > 0 ? [{ song, keys }] : [];
  });
}
