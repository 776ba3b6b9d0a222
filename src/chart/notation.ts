/** The notation on one screen of 80 by 24: what `check --notation` prints. charts/README.md has it at length. */
export const notation = `A chart: head, then sections; one token a bar, a line a phrase.
  title: Rowan Ferry  key: Bb (Am: home 1-)    tempo: 200 (half=118 dotted=90)
  meter: 4/4   tags: slow, jam   crooked: yes  form: V (soft), C (me, key D) x2
  sections:
    V: |
      > words for the phrase below them; several lines are several
      1 4 (1 5) 1~

  1 6- 7o 5+ b7 #4o    degree; bare major, - minor, o diminished, + augmented
  5^7 6-^7 4^maj7 1/3  what is written above, after a caret; bass degree
  (1 4) (1... 5.)      shared; by beats, or quarters in cut, eighths in 6/8
  1~ 1! '4 nc          left to ring; choked stop; an eighth early; no chord
  1_ 1_6 @wait=4       held till released, or 6 beats; wait for a cue, or 4
  =                    the bar before again
  |: 1 4 :| x3         a repeat; without x twice
  [1st 5 ] [2nd 1 ]    endings of a repeat; [last 1 ] in the final pass only
  @3/4 @key+2 @key=A   from here on; also @tempo=90 @swing=62
  @rit=80%             slower to the end of the section
  "all in"  ; soft     a cue above the next bar; a comment
  A D E7 F#m           a section in letters instead, read against key
  tag: last 4 of C     from others: first, last, bars 3-6, all; + 5 1 adds bars
  @sign @to-coda @fine marks for the form: A, B, from sign to coda, coda`;
