import { describe, expect, it } from 'vitest';
import { type BandLine, bandLine } from '../../../../src/ui/draw/band/band-line.js';
import { piece, plainText } from '../../../../src/ui/draw/line.js';
import { paint } from '../../../../src/ui/draw/paint.js';
import { standLines } from '../../../../src/ui/draw/stand.js';
import type { Model } from '../../../../src/ui/state/model.js';
import { bandScene, texts } from './stage.js';

const usual: BandLine = {
  break: [],
  leads: false,
  here: 4,
  leader: 'Ada',
  trouble: [],
  song: { at: 3, of: 12 },
  ahead: null,
  unicode: true,
};
const text = (line: Partial<BandLine>, columns = 80): string =>
  plainText(bandLine({ ...usual, ...line }, columns))
    .trim()
    .replace(/ {3,}/g, '   ');

describe('the line of the band', () => {
  it('says who leads and which song it is, at the right', () => {
    const line = plainText(bandLine(usual, 60));
    expect(line.trim()).toBe('Ada leads the band   song 3 of 12');
    expect(line).toHaveLength(59);
    expect(text({ leads: true, song: null })).toBe('you lead · 4 here');
    expect(text({ leads: true, song: null, unicode: false })).toBe('you lead, 4 here');
    expect(text({ leader: null, song: null })).toBe('nobody leads');
  });

  it('says what is the matter before that, as long as there is room for it', () => {
    const trouble = ['network lost: going on in the last known time', 'network lost: going on'];
    const whose = [piece('your break in 2', 'count')];
    expect(text({ trouble, break: whose })).toBe(
      'your break in 2   network lost: going on in the last known time   song 3 of 12',
    );
    expect(text({ trouble, break: whose }, 60)).toBe(
      'your break in 2   network lost: going on   song 3 of 12',
    );
    expect(text({ ahead: 'bar 12, C', song: null })).toBe(
      'looking elsewhere: the music is at bar 12, C   Ada leads the band',
    );
    expect(text({ ahead: 'bar 12, C', break: whose, song: null }, 60)).toBe(
      'your break in 2   the music is at bar 12, C',
    );
  });

  it('is cut where it must be, by columns and not by characters', () => {
    expect(plainText(bandLine({ ...usual, trouble: ['x'.repeat(90)] }, 60))).toHaveLength(60);
    const wide = bandLine({ ...usual, leader: '川'.repeat(40), song: null }, 60);
    expect(plainText(wide).trim()).toBe(`${'川'.repeat(11)}… leads the band`);
  });
});

describe('the stand of a band', () => {
  const said = (model: Model): string => texts(standLines(model)).join('\n');

  it('shows the leader’s tempo while it is bent towards it, and another one as it sounds', () => {
    const model = bandScene();
    const { performance } = model.session;
    if (!performance) throw new Error('nothing is on the stand');
    const { bpm } = performance.setup;
    const at = (sounds: number): string => {
      const cursor = { ...performance.cursor, bpm: sounds };
      const session = { ...model.session, performance: { ...performance, cursor } };
      return said({ ...model, session }).split('\n')[0] ?? '';
    };
    expect(at(bpm * 1.018)).toMatch(new RegExp(` ${bpm} `));
    expect(at(bpm * 1.1)).toMatch(new RegExp(` ${Math.round(bpm * 1.1)} `));
  });

  it('says that the network is lost while the music goes on, and that nobody leads any more', () => {
    expect(said(bandScene({ band: { up: false } }))).toContain(
      'network lost: going on in the last known time',
    );
    expect(said(bandScene({ leads: true, band: { up: false } }))).toContain(
      'network lost: the others go on without you',
    );
    expect(said(bandScene({ band: { alone: true } }))).toContain('no leader: on to the end of this pass');
    const resting = bandScene({ band: { up: false }, view: { trouble: 'the broker does not answer' } });
    const link = { ...resting.session.link, state: 'paused' as const };
    expect(said({ ...resting, session: { ...resting.session, link } })).toContain(
      'the broker does not answer',
    );
    for (const model of [bandScene(), bandScene({ leads: true })])
      expect(said(model)).not.toContain('network');
  });

  it('draws where a follower looks, and says where the music is', () => {
    const model = bandScene({ at: { bar: 5, beat: 1 } });
    if (model.mode.kind !== 'follow') throw new Error('it does not follow');
    const looks = said({ ...model, mode: { ...model.mode, look: { bar: 13, left: 8 } } });
    expect(looks).toContain('looking elsewhere: the music is at bar 6, V');
    expect(looks).toContain('14 of 44');
    expect(looks).not.toContain('━ ━');
    expect(said(model)).toContain(' 6 of 44');
  });

  it('shows a caller’s word large until its time is over, and leaves the bar at hand as it was', () => {
    const talk = { from: 'Ada', text: 'once more', until: 5000 };
    for (const [columns, rows] of [
      [60, 18],
      [80, 24],
      [120, 40],
    ] as const) {
      const scene = { columns, rows, at: { bar: 9, beat: 2 } };
      const before = texts(standLines(bandScene(scene)));
      const model = bandScene({ ...scene, view: { talk } });
      const during = texts(standLines({ ...model, at: 4999 }));
      expect(during.slice(1, -4)).toEqual(before.slice(1, -4));
      expect(during.slice(-3).join('\n')).toContain('█▄ █');
      expect(during.at(-3)).toMatch(/ Ada$/);
      expect(texts(standLines({ ...model, at: 5000 }))).toEqual(before);
    }
    const plain = bandScene({ unicode: false, view: { talk } });
    expect(
      texts(standLines(plain))
        .slice(-5)
        .every((line) => line.includes('#')),
    ).toBe(true);
  });

  it('shows it larger from far away, below what is played now', () => {
    const talk = { from: 'Ada', text: 'hold', until: 5000 };
    const scene = { columns: 120, rows: 40, far: true, at: { bar: 9, beat: 2 } };
    const before = texts(standLines(bandScene(scene)));
    const during = texts(standLines(bandScene({ ...scene, view: { talk } })));
    expect(during.slice(0, 24)).toEqual(before.slice(0, 24));
    // Three columns and one and a half lines a pixel.
    expect(during.slice(24).filter((line) => line.includes('███')).length).toBeGreaterThanOrEqual(7);
  });

  it('lets nothing of the network steer the terminal, in plain characters too', () => {
    const nasty = '\u001b[2J\u0007\u202eAda\u0000 川';
    const model = bandScene({
      unicode: false,
      band: {
        members: new Map([['ada', { id: 'ada', name: nasty, part: 'mandolin' }]]),
        up: false,
      },
      view: { trouble: nasty, talk: { from: nasty, text: nasty, until: 1 } },
    });
    const painted = standLines(model).map((line) => paint(line, { colour: false, unicode: false }));
    // What is left of codes are the styles of this program.
    for (const line of painted) expect(line.replaceAll(/\u001b\[[0-9;]*m/g, '')).toMatch(/^[ -~]*$/);
  });
});
