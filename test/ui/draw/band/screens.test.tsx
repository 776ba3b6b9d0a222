import { render } from 'ink-testing-library';
import { describe, expect, it } from 'vitest';
import { partNames } from '../../../../src/band/parts.js';
import { standLines } from '../../../../src/ui/draw/stand.js';
import { ModeScreen } from '../../../../src/ui/ModeScreen.js';
import { OverlayScreen } from '../../../../src/ui/OverlayScreen.js';
import type { Model } from '../../../../src/ui/state/model.js';
import { bandScene, type Scene, texts, waitingScene } from './stage.js';

const sizes = [
  [60, 18],
  [80, 24],
  [120, 40],
] as const;

/** Every part near and far, in a song with words two bars before the banjo's break or amid a verse; the singer also in one without. */
function scenes(columns: number, rows: number): readonly (readonly [string, Scene])[] {
  const size = { columns, rows };
  return [
    ...partNames.flatMap((part) => {
      const at = part === 'banjo' ? { bar: 18, beat: 1 } : { bar: 9, beat: 2 };
      return [
        [part, { ...size, part, at }],
        [`${part}, far`, { ...size, part, at, far: true }],
      ] as const;
    }),
    ['singer, no words', { ...size, part: 'singer', chart: 'nine-barges-late', at: { bar: 6, beat: 0 } }],
  ];
}

describe('a stand of a band', () => {
  for (const [columns, rows] of sizes)
    it(`shows each part what it plays, line by line as in screens-${columns}x${rows}.txt`, async () => {
      const all = scenes(columns, rows).map(([name, scene]) => {
        const lines = texts(standLines(bandScene(scene)));
        expect(lines).toHaveLength(rows - 1);
        return [`# ${name}`, ...lines.map((line) => `|${line}`), ''].join('\n');
      });
      await expect(all.join('\n')).toMatchFileSnapshot(`./screens-${columns}x${rows}.txt`);
    });
});

describe('the screens of a band', () => {
  const drawn = (model: Model): string => {
    const screen = render(
      model.overlay ? (
        <OverlayScreen model={model} dispatch={() => {}} now={() => 0} />
      ) : (
        <ModeScreen model={model} />
      ),
    );
    const frame = screen.lastFrame() ?? '';
    screen.unmount();
    // Weights are drawn without colour too.
    return frame.replace(/\u001b\[[0-9;]*m/g, '');
  };
  const set = {
    title: 'Evening at the lock',
    songs: [
      { title: 'Weir Hands', key: 'B' },
      { title: 'The Lamp at Osier Lock', key: 'A' },
      { title: 'Nine Barges Late', key: 'Bb' },
    ],
    at: 1,
  };

  it('waits before the first song with the running order as the part has it', () => {
    const frame = drawn(waitingScene({ band: { set, notes: ['Doors at eight.'] } }));
    expect(frame).toContain('Ada leads the band');
    expect(frame).toContain('Weir Hands              B     capo 4, as G');
    expect(frame).toContain('▸ 2  The Lamp at Osier Lock');
    expect(frame).toContain('Doors at eight.');
    expect(drawn(waitingScene({ part: 'fiddle', band: { set } }))).not.toContain('capo');
  });

  it('shows the next song between two, and the song itself once it is played', () => {
    const between = bandScene({ band: { set }, at: { bar: 0, beat: null } });
    const { performance } = between.session;
    if (!performance) throw new Error('there is no song');
    const ready: Model = {
      ...between,
      session: {
        ...between.session,
        link: { ...between.session.link, state: 'stopped' },
        performance: { ...performance, begun: false },
      },
    };
    const card = drawn(ready);
    expect(card).toContain('song 2 of 3');
    expect(card).toContain('capo 2, plays as G (key A)');
    expect(card).toContain('fiddle begins');
    expect(card).toContain('then: Nine Barges Late in B♭, capo 3, as G');
    expect(drawn(between)).toContain('kickoff');
    expect(drawn(between)).not.toContain('fiddle begins');
  });

  it('shows in front who is there, how others join, and what can be said', () => {
    const overlay = { kind: 'band', chosen: 0, whose: false } as const;
    const frame = drawn({ ...bandScene({ leads: true }), overlay });
    expect(frame).toContain('you lead · 3 here');
    expect(frame).toContain('barkline join kola-tiru-bamo-sidu');
    expect(frame).toContain('▸ Ada  mandolin');
    expect(frame).toContain('1 once more  2 last time');
    expect(frame).toContain('d gives up the lead');
    expect(drawn({ ...bandScene(), overlay })).toContain('l takes the lead');
    expect(drawn({ ...bandScene(), overlay: { ...overlay, whose: true } })).toContain(
      'whose break?  1 mandolin',
    );
    expect(drawn({ ...bandScene(), overlay, band: null })).toContain('You play alone');
  });
});
