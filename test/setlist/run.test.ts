import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addSong,
  againSong,
  backSong,
  beginRun,
  dueRun,
  freeId,
  goOnRun,
  holdCard,
  jumpToSong,
  leaveOut,
  moveSong,
  nextSong,
  type Ran,
  type Run,
  type RunSong,
  secondsFrom,
  skipSong,
  songEnded,
} from '../../src/setlist/run.js';

const song = (id: number, changes: Partial<RunSong> = {}): RunSong => ({
  id,
  title: `song ${id}`,
  gap: 10,
  breakBefore: 0,
  seconds: 100,
  problem: null,
  ...changes,
});
const five = [1, 2, 3, 4, 5].map((id) => song(id));
const begun = (songs: readonly RunSong[] = five): Run => beginRun('Set', songs, 0).run;

/** Where a run is, in a word: `card 2 until 10 s`. */
function told({ phase, songs, at, until }: Run): string {
  const id = phase === 'over' ? '' : ` ${songs[at]?.id}`;
  return `${phase}${id}${until === null ? '' : ` until ${until / 1000} s`}`;
}

/** Steps one after the other: what is asked for at each, and where the run is then. */
function steps(run: Run, ...list: ((run: Run) => Ran<RunSong>)[]): string[] {
  let current = run;
  return list.map((step) => {
    const { run: next, asks } = step(current);
    current = next;
    return [told(next), ...asks].join(', ');
  });
}

const on = (at: number) => (run: Run) => goOnRun(run, at);
const ended = (at: number) => (run: Run) => songEnded(run, at);
const due = (at: number) => (run: Run) => dueRun(run, at);

describe('a run', () => {
  it('goes from card to song to card by itself when gaps are times', () => {
    const { run, asks } = beginRun('Set', five, 0);
    expect([told(run), ...asks]).toEqual(['card 1 until 10 s', 'card']);
    expect(steps(run, due(9999), due(10_000), ended(110_000), due(120_000))).toEqual([
      'card 1 until 10 s',
      'song 1, play',
      'card 2 until 120 s, card',
      'song 2, play',
    ]);
  });

  it('waits where the set says so', () => {
    const run = begun([song(1, { gap: 'wait' }), song(2)]);
    expect(steps(run, due(1e9), on(5), ended(1000))).toEqual([
      'card 1',
      'song 1, play',
      'card 2 until 11 s, card',
    ]);
  });

  it('has breaks with a clock, which can be cut short', () => {
    const run = begun([song(1), song(2, { breakBefore: 15 })]);
    expect(steps(run, on(0), ended(100_000), due(900_000), due(1_000_000))).toEqual([
      'song 1, play',
      'break 2 until 1000 s',
      'break 2 until 1000 s',
      'card 2 until 1010 s, card',
    ]);
    expect(steps(run, on(0), ended(100_000), on(200_000))).toEqual([
      'song 1, play',
      'break 2 until 1000 s',
      'card 2 until 210 s, card',
    ]);
  });

  it('tells first what is wrong, and passes over what cannot be played', () => {
    const songs = [song(1, { problem: 'gone' }), song(2), song(3, { problem: 'faulty' }), song(4)];
    const { run, asks } = beginRun('Set', songs, 0);
    expect([told(run), ...asks]).toEqual(['faults 1']);
    expect(steps(run, due(1e9), on(0), on(1), ended(100_000), on(100_001), ended(200_000))).toEqual([
      'faults 1',
      'card 2 until 10 s, card',
      'song 2, play',
      'card 4 until 110 s, card',
      'song 4, play',
      'over',
    ]);
  });

  it('is over at once where nothing can be played', () => {
    expect(steps(begun([song(1, { problem: 'gone' })]), on(0))).toEqual(['over']);
    expect(told(begun([]))).toBe('over');
  });

  it('skips, out of a song as well, and has the card wait for whoever turned the pages', () => {
    const skip = (run: Run) => skipSong(run, 50_000);
    expect(steps(begun(), skip, on(0), skip, skip)).toEqual([
      'card 2, card',
      'song 2, play',
      'card 3, stop, card',
      'card 4, card',
    ]);
  });

  it('goes back: from a song to its card, from a card to the song before', () => {
    const back = (run: Run) => backSong(run, 50_000);
    expect(steps(begun(), on(0), ended(1), on(2), back, back, back)).toEqual([
      'song 1, play',
      'card 2 until 10.001 s, card',
      'song 2, play',
      'card 2, stop, card',
      'card 1, card',
      'card 1',
    ]);
  });

  it('repeats a song when it is over, and does not when that is said twice', () => {
    expect(steps(begun(), on(0), againSong, ended(1000))).toEqual([
      'song 1, play',
      'song 1',
      'card 1 until 11 s, card',
    ]);
    expect(steps(begun(), on(0), againSong, againSong, ended(1000)).at(-1)).toBe('card 2 until 11 s, card');
    expect(steps(begun(), on(0), ended(1000), againSong).at(-1)).toBe('card 1, card');
  });

  it('jumps: from a card at once, from a song when it is over; the order goes on from there', () => {
    const jump = (run: Run) => jumpToSong(run, 4);
    expect(steps(begun(), jump, on(0), ended(1000))).toEqual([
      'card 4, card',
      'song 4, play',
      'card 5 until 11 s, card',
    ]);
    expect(steps(begun(), on(0), jump, ended(1000))).toEqual([
      'song 1, play',
      'song 1',
      'card 4 until 11 s, card',
    ]);
  });

  it('moves what is still to come, and nothing else', () => {
    const ids = (run: Run): string => run.songs.map(({ id }) => id).join('');
    const here = songEnded(goOnRun(begun(), 0).run, 1).run;
    expect(told(here)).toContain('card 2');
    expect(ids(moveSong(here, 5, -1).run)).toBe('12354');
    expect(ids(moveSong(here, 3, 1).run)).toBe('12435');
    for (const [id, way] of [
      [3, -1],
      [2, 1],
      [1, 1],
      [5, 1],
      [9, 1],
    ] as const)
      expect(ids(moveSong(here, id, way).run)).toBe('12345');
    expect(ids(leaveOut(here, 4).run)).toBe('1235');
    expect(ids(leaveOut(here, 2).run)).toBe('12345');
    // A break before a song that is left out is no longer a break.
    const pause = beginRun('Set', [song(1, { breakBefore: 5 })], 0).run;
    expect(told(pause)).toBe('break 1 until 300 s');
    expect(told(leaveOut(pause, 1).run)).toBe('over');
  });

  it('takes a request as the next song, and as one more when all is over', () => {
    const request = song(freeId(five), { gap: 'wait' });
    const playing = goOnRun(begun(), 0).run;
    const asked = addSong(playing, request).run;
    expect(nextSong(asked)?.id).toBe(6);
    expect(steps(asked, ended(1000), on(2000), ended(3000))).toEqual([
      'card 6, card',
      'song 6, play',
      'card 2 until 13 s, card',
    ]);
    const last = songEnded(goOnRun(begun([song(1)]), 0).run, 1).run;
    expect(steps(last, (run) => addSong(run, song(2)))).toEqual(['card 2, card']);
  });

  it('holds a card whose gap runs', () => {
    expect(steps(begun(), holdCard, due(1e9), on(1e9))).toEqual(['card 1', 'card 1', 'song 1, play']);
  });

  it('is taken up again at a card that waits', () => {
    const { run } = beginRun('Set', [song(1), song(2, { breakBefore: 15 })], 0, { from: 1, waits: true });
    expect(told(run)).toBe('card 2');
  });

  it('keeps what was played, whole or in part', () => {
    let { run } = goOnRun(begun(), 1000);
    run = songEnded(run, 101_000).run;
    run = goOnRun(run, 111_000).run;
    run = skipSong(run, 120_000).run;
    expect(run.played).toEqual([
      { id: 1, began: 1000, ended: 101_000, whole: true },
      { id: 2, began: 111_000, ended: 120_000, whole: false },
    ]);
  });

  it('knows how long it takes', () => {
    expect(secondsFrom([song(1), song(2, { gap: 'wait' }), song(3, { breakBefore: 15 })])).toBe(1220);
    expect(secondsFrom(five, 3)).toBe(220);
    expect(secondsFrom([song(1), song(2, { problem: 'gone' })])).toBe(110);
  });

  it('holds together whatever is pressed, in whatever order', () => {
    const command = fc.oneof(
      fc.constant((run: Run, at: number) => goOnRun(run, at)),
      fc.constant((run: Run, at: number) => songEnded(run, at)),
      fc.constant((run: Run, at: number) => dueRun(run, at)),
      fc.constant((run: Run, at: number) => skipSong(run, at)),
      fc.constant((run: Run, at: number) => backSong(run, at)),
      fc.constant((run: Run) => againSong(run)),
      fc.constant((run: Run) => holdCard(run)),
      fc.nat(9).map((id) => (run: Run) => jumpToSong(run, id)),
      fc.nat(9).map((id) => (run: Run) => leaveOut(run, id)),
      fc.tuple(fc.nat(9), fc.constantFrom(1 as const, -1 as const)).map(
        ([id, way]) =>
          (run: Run) =>
            moveSong(run, id, way),
      ),
      fc.constant((run: Run) => addSong(run, song(freeId(run.songs)))),
    );
    const songs = fc.array(
      fc.record({
        gap: fc.constantFrom(0, 10, 'wait' as const),
        breakBefore: fc.constantFrom(0, 0, 15),
        problem: fc.constantFrom(null, null, null, 'gone'),
      }),
      { minLength: 0, maxLength: 8 },
    );
    fc.assert(
      fc.property(songs, fc.array(command, { maxLength: 40 }), (made, commands) => {
        let { run, asks } = beginRun(
          'Set',
          made.map((one, index) => song(index + 1, one)),
          0,
        );
        let shown = asks.includes('card') ? run.songs[run.at]?.id : undefined;
        commands.forEach((step, index) => {
          const before = run;
          const done = step(run, 1000 * (index + 1));
          run = done.run;
          // A card is shown for the very song that is played then; nothing is played that cannot be.
          if (done.asks.includes('card')) shown = run.songs[run.at]?.id;
          if (run.phase === 'song' || run.phase === 'card') {
            expect(run.songs[run.at]?.id).toBe(shown);
            expect(run.songs[run.at]?.problem).toBeNull();
          }
          expect(done.asks.includes('play')).toBe(before.phase === 'card' && run.phase === 'song');
          if (run.phase === 'over') expect(run.until).toBeNull();
          expect(run.played.length).toBeGreaterThanOrEqual(before.played.length);
          expect(new Set(run.songs.map(({ id }) => id)).size).toBe(run.songs.length);
        });
      }),
      { numRuns: 5000 },
    );
  });
});
