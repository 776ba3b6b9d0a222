import { describe, expect, it } from 'vitest';
import type { Ear, EarMessage, EarOptions } from '../../src/ear/client.js';
import { otherClickSentence } from '../../src/listen/live/other-click.js';
import { type Calibrated, Listener } from '../../src/ui/listener.js';
import type { Message } from '../../src/ui/state/messages.js';
import { HeardStage, strokeAt } from '../listen/live/heard-stage.js';

/** An ear of which the test says what it hears. */
class FakeEar implements Ear {
  readonly asked: string[] = [];
  constructor(readonly options: EarOptions) {}
  open(_: unknown, keep: string | null = null): void {
    this.asked.push(`open ${keep}`);
  }
  close(): void {
    this.asked.push('close');
  }
  list(): void {}
  tune(): void {}
  announce(): void {}
  delay: number | null = null;
  setDelay(ms: number | null): void {
    this.delay = ms;
  }
  quit(): Promise<void> {
    this.asked.push('quit');
    return Promise.resolve();
  }
  hear(message: EarMessage): void {
    this.options.onMessage(message);
  }
}

function listening(calibrated: Calibrated | null = { ms: 0, headphones: false }, keep: string | null = null) {
  const stage = new HeardStage('1 4 5 1');
  const ears: FakeEar[] = [];
  const messages: Message[] = [];
  const listener = new Listener(
    { from: { kind: 'microphone', name: null }, keep, level: 'steady', calibrationOf: () => calibrated },
    {
      open: (options) => {
        ears.push(new FakeEar(options));
        return ears.at(-1) as FakeEar;
      },
      session: () => stage.session,
      dispatch: (message) => messages.push(message),
      now: () => stage.host.now(),
      setTimer: (act, ms) => stage.host.setTimer(act, ms),
      clearTimer: (timer) => stage.host.clearTimer(timer),
    },
  );
  stage.runtime.subscribe(() => listener.look());
  listener.listen(true);
  const ear = ears[0] as FakeEar;
  // The stage's hand plays into this ear.
  stage.strike = (stroke) => ear.hear(stroke);
  stage.wait(50);
  const told = (kind: string) =>
    messages.flatMap((one) => (one.kind === 'pass-told' && one.told.kind === kind ? [one] : []));
  return { stage, listener, ears, ear, messages, told };
}

const opened = { kind: 'opened', name: 'here', rate: 16_000, by: 'test' } as const;
const level = (peak: number, condition: 'fine' | 'silent' = 'fine') =>
  ({ kind: 'level', condition, level: peak, peak, floor: peak }) as const;
const silent = { kind: 'condition', condition: 'silent', sentence: 'nothing is heard' } as const;

describe('a listener', () => {
  it('brings marks and passes of what is played, and neither strokes nor onsets', () => {
    const { stage, ear, messages, told } = listening();
    ear.hear(opened);
    ear.hear({ kind: 'onset', ms: 0, sample: 0, strength: 1, timbre: [] });
    stage.press('play');
    stage.until(() => told('pass-heard').length === 1);
    expect(told('mark').length).toBeGreaterThanOrEqual(16);
    expect(messages.filter(({ kind }) => kind === 'ear')).toEqual([
      { kind: 'ear', message: opened, at: expect.any(Number), calibrated: true },
    ]);
  });

  it('judges the last pass by its own timer, when nothing else happens any more', () => {
    const { stage, ear, told } = listening();
    ear.hear(opened);
    stage.press('play');
    stage.until(() => told('mark').length >= 10);
    stage.press('play');
    stage.wait(3000);
    expect(told('pass-heard')).toHaveLength(1);
  });

  it('says whether the pair of devices is calibrated, and what is kept', () => {
    const { ear, messages } = listening(null, 'take.wav');
    ear.hear(opened);
    expect(messages).toMatchObject([{ kind: 'ear', calibrated: false, keeps: 'take.wav' }]);
  });

  it('hears nothing more when it is switched off, and opens the same process again', () => {
    const { stage, ear, ears, listener, told } = listening();
    ear.hear(opened);
    stage.press('play');
    stage.until(() => told('mark').length >= 4);
    listener.listen(false);
    const before = told('mark').length;
    stage.wait(3000);
    expect(told('mark')).toHaveLength(before);
    listener.listen(true);
    expect(ears).toHaveLength(1);
    expect(ear.asked).toEqual(['close', 'open null']);
  });

  it('judges no pass in which the microphone was away for some strokes', () => {
    const { stage, ear, told } = listening();
    ear.hear(opened);
    const all = stage.strike;
    stage.press('play');
    stage.until(() => told('mark').length >= 5);
    stage.strike = () => {};
    ear.hear({ kind: 'died', sentence: 'it has died', again: true });
    stage.wait(2200);
    stage.strike = all;
    ear.hear(opened);
    stage.until(() => told('pass-heard').length === 1);
    const [one] = told('pass-heard');
    if (one?.told.kind !== 'pass-heard') throw new Error('no pass was told');
    expect(one.told.verdict).toMatchObject({ result: 'not heard', faults: ['disturbed'] });
    // It is the same pass all the time: nothing of it began again.
    expect(one.told.verdict.strokes).toHaveLength(16);
  });

  it('judges a pass in which something was wrong for a stroke without that', () => {
    const { stage, ear, told } = listening();
    ear.hear(opened);
    const all = stage.strike;
    stage.press('play');
    stage.until(() => told('mark').length >= 5);
    stage.strike = () => {};
    ear.hear({ kind: 'condition', condition: 'clipping', sentence: 'overloaded; turn it down' });
    stage.wait(350);
    stage.strike = all;
    ear.hear({ kind: 'condition', condition: 'fine', sentence: null });
    stage.until(() => told('pass-heard').length === 1);
    const [one] = told('pass-heard');
    expect(one?.told).toMatchObject({ verdict: { result: 'clean' } });
  });

  it('says of zeros at once that nothing is heard', () => {
    const { ear, messages } = listening();
    ear.hear(opened);
    ear.hear(level(-120, 'silent'));
    ear.hear(silent);
    expect(messages.at(-1)).toMatchObject({ kind: 'ear', message: silent });
  });

  it('says nothing of a quiet room until three bars were to be played in it', () => {
    const { stage, ear, messages } = listening();
    const silences = () => messages.filter((one) => one.kind === 'ear' && one.message === silent);
    ear.hear(opened);
    ear.hear(level(-75, 'silent'));
    ear.hear(silent);
    stage.wait(20_000);
    expect(silences()).toEqual([]);
    stage.hand = () => null;
    stage.press('play');
    // The count-in and two bars.
    stage.wait(1500 * 3 - 200);
    expect(silences()).toEqual([]);
    stage.wait(1500);
    expect(silences()).toHaveLength(1);
  });

  it('forgets a quiet room in which somebody plays', () => {
    const { stage, ear, messages } = listening();
    ear.hear(opened);
    ear.hear(level(-75, 'silent'));
    ear.hear(silent);
    stage.press('play');
    stage.wait(1600);
    ear.hear({ kind: 'condition', condition: 'fine', sentence: null });
    stage.wait(9000);
    expect(messages.some((one) => one.kind === 'ear' && one.message === silent)).toBe(false);
  });

  it.each([false, true])(
    'allows for the offset of the output, which sounds earlier, and the player with it (headphones: %s)',
    (headphones) => {
      const { stage, ear, told } = listening({ ms: 100, headphones });
      // Sent 40 ms before the beats: what is played along with it is heard 60 ms behind them.
      const out = { kind: 'none', offset: 40 } as const;
      stage.runtime.dispatch({
        kind: 'player',
        at: stage.host.now(),
        message: { kind: 'opened', out, label: 'here', lead: 0, refused: [] },
      });
      ear.hear(opened);
      // Own sounds are announced for when they leave, so that their way is the whole of it.
      expect(ear.delay).toBe(headphones ? null : 100);
      stage.hand = () => 60;
      stage.press('play');
      stage.until(() => told('pass-heard').length === 1);
      const marks = told('mark').map((one) => one.told.kind === 'mark' && one.told.mark.place);
      expect(marks.length).toBeGreaterThanOrEqual(16);
      expect(new Set(marks)).toEqual(new Set(['on']));
      const [one] = told('pass-heard');
      if (one?.told.kind !== 'pass-heard') throw new Error('no pass was told');
      if (!headphones) expect(one.told.verdict.timing.chop?.mean ?? Number.NaN).toBeCloseTo(0, 0);
    },
  );

  it.each([
    ['is said once and marked nowhere, where a loudspeaker plays it', false, 1],
    ['is not looked for with headphones', true, 0],
  ] as const)('the click of other gear %s', (_, headphones, times) => {
    const { stage, ear, messages, told } = listening({ ms: 0, headphones });
    ear.hear(opened);
    stage.hand = () => null;
    // A click that is heard, and a hand that rests.
    const clip = new Float32Array(Math.round(0.22 * 16_000)).map((value, at) =>
      at < 1760 ? value : Math.exp(-(at - 1760) / 200) * Math.sin((at - 1760) / 2),
    );
    const clicks = () => stage.output.ons.filter(({ status }) => (status & 15) === 9);
    stage.press('play');
    for (let heard = 0; heard < 20; ) {
      stage.wait(50);
      const next = clicks()[heard];
      if (!next || stage.host.now() < next.time + 150) continue;
      ear.hear({ ...strokeAt(next.time), clip });
      heard += 1;
    }
    const said = messages.filter(
      (one) =>
        one.kind === 'ear' && one.message.kind === 'trouble' && one.message.sentence === otherClickSentence,
    );
    expect(said).toHaveLength(times);
    if (headphones) expect(told('mark').length).toBeGreaterThan(8);
    else expect(told('mark')).toHaveLength(0);
  });

  it('ends the process with the program', async () => {
    const { ear, listener } = listening();
    await listener.quit();
    expect(ear.asked).toEqual(['quit']);
    ear.hear(strokeAt(0));
  });
});
