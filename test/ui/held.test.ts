import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { act } from '../../src/ui/update/act.js';
import { Evening, type PlayableSong, songsOf } from './evening.js';
import { drawnNotice, shownHand } from './notice.js';

/** A song at 120, with a count of one bar, from its section. */
function songOf(section: string, id = 1, last = '4 4'): PlayableSong {
  const text = `title: Gate ${id}\nkey: G\ntempo: 120\nform: V, C\nsections:\n  V: |\n    ${section}\n  C: |\n    ${last}\n`;
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error('the chart does not read');
  const [song] = songsOf([{ name: 'weir-hands' }], 1);
  if (!song) throw new Error('no song');
  const start = { ...song.start, key: read.value.key, bpm: 120 };
  return { ...song, id, title: read.value.title, chart: read.value, source: text, start };
}

const bar = 2000;

/** A set of one such song that has been begun, with the time of its first click. */
function begun(section: string, more: readonly PlayableSong[] = [], last = '4 4') {
  const evening = new Evening([songOf(section, 1, last), ...more]);
  evening.untilSong('Gate 1');
  evening.until(() => evening.output.ons.length > 0);
  const first = evening.output.ons[0]?.time ?? 0;
  /** Clicks since the count-in began, ms. */
  const clicks = () =>
    evening.output.ons.filter(({ status }) => status === 0x99).map(({ time }) => Math.round(time - first));
  /** Chops and bass from a time on, ms since the count-in began. */
  const played = (from: number) =>
    evening.output.ons
      .filter(({ status, time }) => status !== 0x99 && time - first >= from)
      .map(({ time }) => Math.round(time - first));
  const waitTo = (ms: number): void => evening.wait((first + ms - evening.host.now()) / 1000);
  return { evening, clicks, played, waitTo, first };
}

describe('a held chord', () => {
  it('is struck once, clicks no more, and time waits for as long as nobody releases it', () => {
    const { evening, clicks, played, waitTo } = begun('1 1_ 5 5');
    waitTo(60_000);
    expect(clicks()).toStrictEqual([0, 500, 1000, 1500, 2000, 2500, 3000, 3500, 4000]);
    expect(played(2 * bar).every((at) => at < 2 * bar + 40)).toBe(true);
    expect(evening.model.session.performance?.cursor).toMatchObject({ bar: 1, beat: 0, waits: 'chord' });
    expect(drawnNotice(evening.model)).toMatch(/held until released: Page Down, a or the pedal that holds/);
  });

  it.each(['hold', 'extend', 'section-on'] as const)('goes on with the next beat at once by %s', (action) => {
    const { evening, clicks, played, waitTo } = begun('1 1_ 5 5');
    waitTo(17_321);
    evening.press(action);
    waitTo(17_321 + 1200);
    expect(clicks().slice(9)).toStrictEqual([17_321, 17_821, 18_321]);
    expect(played(17_000)[0]).toBe(17_321);
    // What was held ends before the next chord is struck.
    const until = evening.output.sent.findIndex(
      ({ time, status }) => status === 0x99 && time > 5000 + 17_000,
    );
    const rang = evening.output.sent
      .slice(0, until)
      .filter(({ status }) => status >> 4 === 9 && status !== 0x99);
    const ended = evening.output.sent
      .slice(0, until)
      .filter(({ status }) => status >> 4 === 8 && status !== 0x89);
    expect(ended).toHaveLength(rang.length);
    expect(evening.model.session.performance?.cursor.waits).toBeUndefined();
    expect(evening.model.session.performance?.vamp).toBeNull();
  });

  it('does not count down to the next chord, since nobody knows when it comes', () => {
    const { evening, waitTo } = begun('1 1_ 5 5');
    waitTo(2 * bar - 900);
    expect(shownHand(evening.model)).toMatchObject({ beatsLeft: 6 });
    waitTo(17_321);
    expect(shownHand(evening.model)).toMatchObject({ beatsLeft: null, after: null });
    evening.press('hold');
    waitTo(17_321 + 100);
    expect(shownHand(evening.model).beatsLeft).toBeGreaterThan(0);
  });

  it('is released within its first beat too, and by two presses no more than once', () => {
    const { evening, clicks, waitTo } = begun('1 1_ 5_ 5');
    waitTo(2 * bar + 200);
    evening.press('hold');
    evening.press('hold');
    waitTo(30_000);
    expect(clicks().slice(8)).toStrictEqual([4000, 4200]);
    expect(evening.model.session.performance?.cursor).toMatchObject({ bar: 2, waits: 'chord' });
  });

  it('takes a tempo and a key that are chosen meanwhile, and waits on', () => {
    const { evening, clicks, waitTo } = begun('1 1_ 5 5');
    waitTo(9000);
    for (let press = 0; press < 30; press += 1) evening.press('slower');
    evening.press('key-up');
    waitTo(20_000);
    expect(clicks()).toHaveLength(9);
    const bpm = evening.model.session.performance?.setup.bpm ?? 0;
    expect(bpm).toBeLessThan(120);
    evening.press('hold');
    waitTo(24_500);
    const after = clicks().slice(9);
    expect(after[0]).toBe(20_000);
    expect(after[1]).toBe(Math.round(20_000 + 60_000 / bpm));
  });

  it('keeps a section once more that was asked for before it', () => {
    const { evening, waitTo } = begun('1 1_ 5');
    waitTo(bar + 500);
    evening.press('extend');
    waitTo(30_000);
    expect(evening.model.session.performance?.cursor).toMatchObject({ bar: 1, waits: 'chord' });
    evening.press('hold');
    evening.wait(2.1);
    // After the bar that is left the section begins again, and waits again.
    expect(evening.model.session.performance?.cursor.bar).toBe(0);
    evening.wait(3);
    expect(evening.model.session.performance?.cursor).toMatchObject({ bar: 1, waits: 'chord' });
  });

  it('leaves a pedal that asks for the section once more what it is', () => {
    const { evening, waitTo } = begun('1 1_ 5');
    waitTo(30_000);
    const { model, effects } = act(evening.model, 'extend', evening.host.now(), 'pedal');
    expect(model.session.performance?.jump).toMatchObject({ kind: 'again', bar: 0 });
    expect(effects.some((effect) => effect.kind === 'tell')).toBe(false);
  });

  it('is paused and left like any other place, with nothing hanging', () => {
    const { evening, waitTo } = begun('1 1_ 5 5');
    waitTo(9000);
    evening.press('play');
    evening.wait(1);
    expect(evening.output.hanging()).toStrictEqual([]);
    expect(evening.model.session.link.state).toBe('paused');
    evening.press('play');
    evening.wait(10);
    expect(evening.model.session.performance?.cursor).toMatchObject({ bar: 1, waits: 'chord' });
    evening.press('hold');
    evening.wait(1);
    expect(evening.model.session.performance?.cursor.bar).toBe(2);
    evening.press('song-next');
    evening.wait(1);
    expect(evening.output.hanging()).toStrictEqual([]);
  });

  it('ends the song where it is its last chord, and the set goes on', () => {
    const { evening, waitTo } = begun('1', [songOf('1', 2)], '(4.. 1.._)');
    waitTo(3 * bar + 500);
    expect(evening.model.session.performance?.cursor).toMatchObject({ bar: 1, beat: 2, waits: 'chord' });
    evening.press('hold');
    evening.wait(0.1);
    expect(evening.model.session.link.state).toBe('stopped');
    expect(evening.output.hanging()).toStrictEqual([]);
    evening.untilSong('Gate 2');
  });
});

describe('a stop of the band', () => {
  it('is silent until the cue, and the next bar comes after one clicked beat', () => {
    const { evening, clicks, played, waitTo } = begun('1 1 @wait 5 5');
    waitTo(40_007);
    expect(clicks()).toHaveLength(12);
    expect(played(3 * bar)).toStrictEqual([]);
    expect(drawnNotice(evening.model)).toMatch(/the band waits, then 5: Page Down.* counts in one beat/);
    evening.press('extend');
    waitTo(40_007 + 1100);
    expect(clicks().slice(12)).toStrictEqual([40_007, 40_507, 41_007]);
    expect(played(3 * bar)[0]).toBe(40_507);
  });

  it('counts its beat in the tempo of what comes', () => {
    const { evening, clicks, waitTo } = begun('1 @wait=2 @tempo=60 5');
    waitTo(10_000);
    evening.press('hold');
    waitTo(12_500);
    expect(clicks().slice(8)).toStrictEqual([10_000, 11_000, 12_000]);
  });

  it('takes its beats in a loop, without a cue', () => {
    const { evening, clicks, waitTo } = begun('1 @wait 5');
    const { performance } = evening.model.session;
    expect(performance?.setup.holds).toBe(true);
    evening.press('loop-from');
    waitTo(bar * 3 + 1000);
    expect(evening.model.session.performance?.cursor.waits).toBeUndefined();
    expect(clicks().length).toBeGreaterThan(7);
  });
});
