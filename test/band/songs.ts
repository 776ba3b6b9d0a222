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

/** Two sections and a repeat with a tune: pick-ups, a break of another part, and ties over bar lines. */
export const tuneSong = `title: Hazel Rows
key: D
tempo: 132
meter: 4/4
form: V, C, V (fiddle), C
sections:
  V: |
    1 4 1_ 5
  C: |
    4 |: 5 1 [1st 4 ] :| [2nd 1 ]
tune:
  V: |
    A2 | D2 F2- F2 A2 | G4- G2 B2 | A8- | A4 E4 |
  C: |
    GA | B2 d4- d2- |: d4- d2 A2- | A2 F2 D4- |1 D6 z2 :|2 D8 |
`;

/** The winding song with a tune over all of it. */
export const windingTune = `${windingSong}tune:
  V: |
    EF | A4 c4- | c8- | c2 d4 e2- | e6 z2 |
  B: |
    d8 | d4 f2- | f6 | e8- | e4 e4 |
  C: |
    c2 | a8- | a4 f4- |: f8 | e8- |1 e4 c4 :|2 A8 | e8- | e8 |
`;
