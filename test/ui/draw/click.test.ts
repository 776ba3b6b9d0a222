import { describe, expect, it } from 'vitest';
import { clickChart, nextMeter } from '../../../src/chart/click-chart.js';
import { clickLines } from '../../../src/ui/draw/click.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import type { Message } from '../../../src/ui/state/messages.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import { having, mandolin, onStand, usualStart } from '../model.js';

const press = (action: Action, at = 0): Message => ({ kind: 'action', action, at });

/** A click that runs since time 0 at one quarter a second, whatever its tempo. */
function clicking(columns = 80, rows = 24, { unicode = true, bpm = 60 } = {}): Model {
  const chart = clickChart({ beats: 3, unit: 4 }, bpm);
  const start = {
    ...{ key: chart.key, bpm, countIn: 0, passes: null, range: null, from: 0 },
    ...{ instrument: mandolin, plan: {}, ...usualStart },
  };
  const begun = having(
    firstModel({ colour: false, unicode }, columns, rows),
    { kind: 'chart-opened', file: '', chart, start, source: '', click: true },
    {
      kind: 'player',
      at: 0,
      message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [] },
    },
  );
  expect(begun.effects.some((one) => one.kind === 'tell' && one.message.kind === 'play')).toBe(true);
  return having(
    begun.model,
    { kind: 'player', at: 0, message: { kind: 'state', state: 'running', tick: 0 } },
    {
      kind: 'player',
      at: 0,
      message: { kind: 'spans', spans: [{ tick: 0, time: 0, msPerTick: 1000 / 960 }] },
    },
  ).model;
}

const at = (model: Model, seconds: number): Model =>
  having(model, { kind: 'clock', at: 1000 * seconds + 10 }).model;
const shown = (model: Model): string[] => clickLines(model).map((line) => plainText(line).trimEnd());

const picture = ` Click   3/4                                                             silent



    ######                                        ##   ###
  ####  ####                                     ##   ## ##
        ####                                    ##    #   #
      ####                                      ####  #   #
    ####                                        ## ## #   #
  ####                                          ## ## ## ##
  ##########                                     ###   ###
  bar 2                                         quarters a minute

   1    2    3

  click: every beat, the first accented
  Start softly: a click is sharp, and ears do not heal.





 Space pause   - + tempo   t tap   m meter   c click   ? keys   q leave`;

describe('a click without a song', () => {
  it('begins by itself, and counts beats and bars', () => {
    const places = [0, 1, 2, 3, 7].map((seconds) => {
      const lines = clickLines(at(clicking(), seconds));
      const lit = lines
        .flat()
        .find(({ style }) => style === 'here')
        ?.text.trim();
      return `${lit} ${/bar \d+/.exec(lines.map(plainText).join('\n'))?.[0]}`;
    });
    expect(places).toEqual(['1 bar 1', '2 bar 1', '3 bar 1', '1 bar 2', '2 bar 3']);
  });

  it('is drawn as this', () => {
    expect(shown(at(clicking(80, 24, { unicode: false, bpm: 120 }), 4)).join('\n')).toBe(picture);
  });

  it.each([
    [60, 18],
    [80, 24],
    [100, 30],
    [140, 45],
  ])('fits %i by %i, with tempo, beat and keys', (columns, rows) => {
    for (const unicode of [true, false]) {
      const lines = clickLines(at(clicking(columns, rows, { unicode, bpm: 200 }), 2));
      expect(lines).toHaveLength(rows - 1);
      for (const line of lines) expect(lineWidth(line)).toBe(columns);
      const text = lines.map(plainText).join('\n');
      expect(text).toContain('quarters a minute');
      expect(text).toContain('ears do not heal');
      expect(text).toContain('? keys');
      expect(text).toMatch(/ 1 {4}2 {4}3 /);
    }
  });

  it('goes through meters at the same number of beats a minute, and U takes a meter back', () => {
    const meters = [{ beats: 3, unit: 4 }];
    for (let count = 0; count < 9; count += 1) meters.push(nextMeter(meters.at(-1) as never) as never);
    expect(meters.map(({ beats, unit }) => `${beats}/${unit}`).join(' ')).toBe(
      '3/4 2/4 2/2 6/8 9/8 12/8 5/4 7/4 4/4 3/4',
    );
    const other = having(at(clicking(), 1), press('next-meter', 1000), press('next-meter', 9000)).model;
    expect(onStand(other)?.chart.meter).toEqual({ beats: 2, unit: 2 });
    expect(onStand(other)).toMatchObject({ bpm: 60 });
    expect(shown(other).join('\n')).toContain('halves a minute');
    const back = having(other, press('take-back', 9000)).model;
    expect(back.notice).toBe('meter back to 2/4');
    expect(onStand(back)?.chart.meter).toEqual({ beats: 2, unit: 4 });
    expect(back.session.link.state).toBe('running');
  });

  it('has the stand’s keys for tempo and click, and none that is about a chart', () => {
    const model = at(clicking(), 1);
    expect(onStand(having(model, press('faster')).model)?.bpm).toBe(65);
    const tapped = having(model, press('tap', 0), press('tap', 500), press('tap', 1000)).model;
    expect(onStand(tapped)?.bpm).toBe(120);
    expect(having(model, press('choose-click')).model.overlay).toEqual({ kind: 'click' });
    for (const action of ['choose-key', 'edit-bar', 'choose-drill', 'loop-from', 'far', 'extend'] as const) {
      const { model: after, effects } = having(model, press(action));
      expect([action, after.overlay, effects]).toEqual([action, null, []]);
      expect(onStand(after)?.range).toBeNull();
    }
  });

  it('keeps nothing and writes nothing into the diary, and Esc leaves', () => {
    let model = clicking();
    const kinds: string[] = [];
    for (let second = 0; second < 20; second += 1) {
      const next = having(model, { kind: 'clock', at: 1000 * second + 10 }, press('faster', 1000 * second));
      kinds.push(...next.effects.map(({ kind }) => kind));
      model = next.model;
    }
    expect(kinds).not.toContain('record');
    expect(kinds).not.toContain('keep');
    expect(having(model, press('back')).effects.at(-1)).toEqual({ kind: 'leave' });
  });
});
