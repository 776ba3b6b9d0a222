/** Invented charts for the stage. */

/** Two sections, everything plain. */
export const plainSong = `title: Osier Steps
key: G
tempo: 120
meter: 4/4
form: V, C
sections:
  V: |
    1 1 4 1
  C: |
    4 4 1 1
`;

/** What time can do: meters and tempos that change, a chord that is held, a stop of the band, a last time that slows down. */
export const windingSong = `title: Six Locks Down
key: A
tempo: 160
meter: 4/4
bass: walk
form: V, B, V, C
sections:
  V: |
    1 1_ (4.. 5..) 1
  B: |
    4 @3/4 4 1 @4/4 @tempo=120 5 @wait 5
  C: |
    1 6- @tempo=180 |: 4 5 [1st 1 ] [2nd 1 ] :| [last @rit=70% 5 1_ ]
`;
