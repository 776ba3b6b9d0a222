/** The notation on one screen of 80 by 24: what `check --notation` prints. charts/README.md has it at length. */
export const notation = `A chart: head, then sections; one token a bar, a line a phrase.

  title: Rowan Ferry        tempo: 200            form: V (soft), C (me) x2
  key: Bb                   meter: 4/4            crooked: yes   (odd bars)
  sections:
    V: |
      1 4 (1 5) 1~

  1 6- 7o 5+ b7 #4o    degree; bare major, - minor, o diminished, + augmented
  5^7 6-^7 4^maj7      what stands above, behind a caret: 7 maj7 6 9 sus4 ...
  1/3                  bass by degree
  (1 4) (1... 5.)      a bar shared equally; by beats, a dot a beat
  1~ 1! '4 nc          left to ring; choked stop; early by an eighth; no chord
  =                    the bar before again
  |: 1 4 :| x3         a repeat; without x twice
  [1st 5 ] [2nd 1 ]    endings of a repeat; [last 1 ] in the final pass only
  @3/4 @key+2          from here on; also @tempo=90 @swing=62
  "all in"  ; soft     a cue above the next bar; a comment
  A D E7 F#m           a section in letters instead, read against key
  tag: last 4 of C     from others: first, last, bars 3-6, all; joined by +

  tempo half=118 counts halves, dotted=90 dotted quarters. Minor: Am, home 1-.`;
