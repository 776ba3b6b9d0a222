import { describe, expect, it } from 'vitest';
import { OtherClick } from '../../../src/listen/live/other-click.js';
import type { StrokeHeard } from '../../../src/listen/stroke-heard.js';
import { usualMix } from '../../../src/time/sound.js';
import type { StandStart } from '../../../src/ui/state/modes.js';
import { seeded } from '../seeded.js';
import { HeardStage, strokeAt } from './heard-stage.js';

const rate = 16_000;
/** How much later than it is due the click of the gear is heard, ms. */
const way = 180;

/** A stroke that sounds: partials that fall, their attack so much beside where the stroke is put, ms. */
function sounding(ms: number, hertz: readonly number[], beside = 0, seed = 1): StrokeHeard {
  const random = seeded(seed);
  const stroke = strokeAt(ms);
  const attack = stroke.attack + Math.round((beside * rate) / 1000);
  const clip = stroke.clip.map((_, at) => {
    const second = (at - attack) / rate;
    const rings = hertz.reduce((sum, one) => sum + Math.sin(2 * Math.PI * one * second), 0);
    return 2e-3 * (random() - 0.5) + (second < 0 ? 0 : 0.2 * Math.exp(-40 * second) * rings);
  });
  return { ...stroke, clip };
}

const bell = [1130, 2290];
const chop = [196, 294, 392, 494, 588];

/** A stage that has counted in and played a while, with a click that was looked at all the time, and when the clicks were due. */
function counted(start: Partial<StandStart> = {}) {
  const stage = new HeardStage('1 4 5 1', { mix: usualMix, ...start });
  const click = new OtherClick(rate);
  stage.runtime.subscribe(() => click.look(stage.session, stage.host.now()));
  stage.wait(50);
  stage.press('play');
  stage.wait(5000);
  const due = stage.output.ons.filter(({ status }) => (status & 15) === 9).map(({ time }) => time);
  return { click, due };
}

describe('the click of gear whose sound is not known', () => {
  it('is known once a whole bar of it was heard with one delay, and is no stroke from then on', () => {
    const { click, due } = counted();
    const told = due
      .slice(0, 4)
      .map((ms, index) => click.isClick(sounding(ms + way + (index % 2) * 3, bell, 0, index)));
    expect(told).toStrictEqual([false, false, false, true]);
    expect(click.isHeard).toBe(true);
    for (const ms of due.slice(4, 10))
      expect(click.isClick(sounding(ms + way - 2, bell, 0.4, ms))).toBe(true);
  });

  it('leaves strokes alone that sound otherwise, or come at another time', () => {
    const { click, due } = counted();
    for (const ms of due.slice(0, 4)) click.isClick(sounding(ms + way, bell));
    for (const ms of due.slice(4, 10)) {
      expect(click.isClick(sounding(ms + way, chop))).toBe(false);
      expect(click.isClick(sounding(ms + way + 90, bell))).toBe(false);
    }
  });

  it('is not found in a hand that plays along with the count, as unevenly as hands are', () => {
    const { click, due } = counted();
    [0, 22, -19, 41].forEach((off, index) => {
      expect(click.isClick(sounding((due[index] as number) + way + off, chop))).toBe(false);
    });
    expect(click.isHeard).toBe(false);
  });

  it('is not found in what is heard after the count, nor where the click is silent', () => {
    const { click, due } = counted();
    for (const ms of due.slice(4, 10)) expect(click.isClick(sounding(ms + way, bell))).toBe(false);
    expect(click.isHeard).toBe(false);
    const silent = counted({ mix: { ...usualMix, on: { ...usualMix.on, click: false } } });
    for (const ms of due.slice(0, 4)) silent.click.isClick(sounding(ms + way, bell));
    expect(silent.click.isHeard).toBe(false);
  });

  it('stops being one that was announced and was not played', () => {
    const { click, due } = counted();
    for (const ms of due.slice(0, 4)) click.isClick(sounding(ms + way, bell));
    const beat = (due[5] as number) - (due[4] as number);
    // After what was looked at nothing is known yet.
    expect(click.isClick(sounding((due.at(-1) as number) + 6 * beat + way, bell))).toBe(false);
  });
});
