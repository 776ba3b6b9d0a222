import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chordLabel, numberLabel } from '../../../src/chart/label.js';
import { toChord } from '../../../src/theory/chord.js';
import { majorTonics } from '../../../src/theory/key.js';
import { parseNumber } from '../../../src/theory/number.js';
import { bigHeight, bigText, bigWidth, fitScale } from '../../../src/ui/draw/big-text.js';
import { type FarView, farLines } from '../../../src/ui/draw/far.js';
import { glyphs } from '../../../src/ui/draw/glyphs.js';
import { lineWidth, piece, plainText } from '../../../src/ui/draw/line.js';

describe('bigText', () => {
  it('draws two rows of pixels on a line', () => {
    expect(bigText('1♭', { scale: 1, unicode: true })).toEqual([
      ' ▄██  █   ',
      '  ██  █▄▀▄',
      '  ██  █ ▄▀',
      ' ▀▀▀▀ ▀▀  ',
    ]);
  });

  it('is as wide and tall as it says, whatever it draws', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom(...Object.keys(glyphs), 'x', '?'), minLength: 1, maxLength: 8 }),
        fc.integer({ min: 1, max: 6 }),
        fc.boolean(),
        (text, scale, unicode) => {
          const lines = bigText(text, { scale, unicode });
          expect(lines).toHaveLength(bigHeight({ scale, unicode }));
          for (const line of lines) expect([...line]).toHaveLength(bigWidth(text, { scale, unicode }));
          expect(lines.join('').trim() === '').toBe(text.trim() === '');
        },
      ),
    );
  });

  it('has a letter of its own, unlike all others, for every sign of a number or chord', () => {
    const qualities = [
      '',
      '-',
      'o',
      '+',
      '^7',
      '-^7',
      '^maj7',
      '^6',
      '-^6',
      '^9',
      '^sus4',
      '^sus2',
      '^add9',
      '-^7b5',
      'o^7',
      '^11',
      '^13',
      '-^9',
      '^aug7',
      '^7b9',
      '^7#9',
      '-^maj7',
      '+^7',
      '^69',
    ];
    const signs = new Set<string>();
    let read = 0;
    for (const degree of ['1', '2', '3', '4', '5', '6', '7', 'b7', '#4'])
      for (const mark of qualities)
        for (const bass of ['', '/3'])
          for (const tonic of majorTonics) {
            const number = parseNumber(`${degree}${mark}${bass}`);
            if (!number.ok) continue;
            read += 1;
            for (const unicode of [true, false]) {
              for (const sign of numberLabel(number.value, unicode)) signs.add(sign);
              for (const sign of chordLabel(toChord(number.value, { tonic, mode: 'major' }), unicode))
                signs.add(sign);
            }
          }
    expect(read).toBeGreaterThan(2000);
    expect([...signs].filter((sign) => glyphs[sign] === undefined)).toEqual([]);
    const pictures = Object.entries(glyphs).filter(([sign]) => sign !== '#' && sign !== ' ');
    expect(new Set(pictures.map(([, rows]) => rows.join('\n'))).size).toBe(pictures.length);
    for (const rows of Object.values(glyphs)) {
      expect(rows).toHaveLength(7);
      expect(new Set(rows.map((row) => row.length)).size).toBe(1);
    }
  });

  it('fits what it says that fits, and nothing larger', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 240 }),
        fc.integer({ min: 1, max: 70 }),
        fc.boolean(),
        (columns, lines, unicode) => {
          const scale = fitScale('B♭m', columns, lines, unicode);
          const fits = (one: number): boolean =>
            bigWidth('B♭m', { scale: one, unicode }) <= columns &&
            bigHeight({ scale: one, unicode }) <= lines;
          if (scale > 0) expect(fits(scale)).toBe(true);
          expect(fits(scale + 1)).toBe(false);
        },
      ),
    );
  });
});

const view: FarView = {
  now: { number: '1', chord: 'B♭' },
  next: { number: '5⁷', chord: 'F7' },
  frets: '5-2-3-x',
  beatsLeft: 3,
  span: 8,
  beat: 1,
  beats: 4,
  counting: null,
  glance: '↓ bass',
  head: 'Ferry Bell',
  notice: [],
  foot: 'V bar 3 of 40',
  unicode: true,
};

describe('farLines', () => {
  it('fills the smallest screen', () => {
    expect(farLines(view, 60, 17).map((line) => plainText(line).trimEnd())).toMatchInlineSnapshot(`
      [
        " Ferry Bell",
        "     ████                ████████    ██",
        "   ██████                ████  ████  ██",
        "     ████                ████  ████  ██  ██",
        "     ████                ████████    ████  ██",
        "     ████                ████  ████  ██    ██",
        "     ████                ████  ████  ██  ██",
        "   ████████              ████████    ████",
        " ██████ ██████ ██████ ░░░░░░░ ░░░░░░ ░░░░░░ ░░░░░░ ░░░░░░░",
        " ██▀▀▀ ▀▀█               ██▀▀▀ ▀▀▀██",
        " ▀▀▀█▄  █                ██▄     ▄█▀",
        " ▄▄ ██                   ██     ██▀",
        "  ▀▀▀                    ▀▀     ▀▀",
        "   █      █▀▄ ▄▀▄ ▄▀▀ ▄▀▀",
        " ▀▄█▄▀    █▀▄ █▀█  ▀▄  ▀▄",
        "   ▀      ▀▀  ▀ ▀ ▀▀  ▀▀",
        "                                              V bar 3 of 40",
      ]
    `);
  });

  it('has air where there are more lines', () => {
    expect(farLines(view, 100, 29).map((line) => plainText(line).trimEnd())).toMatchInlineSnapshot(`
      [
        " Ferry Bell",
        " now       ████                ████████    ██",
        "         ██████                ████  ████  ██",
        "           ████                ████  ████  ██  ██",
        "           ████                ████████    ████  ██",
        "           ████                ████  ████  ██    ██",
        "           ████                ████  ████  ██  ██",
        "         ████████              ████████    ████",
        "",
        " ███████████ ███████████ ███████████ ░░░░░░░░░░░░ ░░░░░░░░░░░ ░░░░░░░░░░░ ░░░░░░░░░░░ ░░░░░░░░░░░░",
        " ███████████ ███████████ ███████████ ░░░░░░░░░░░░ ░░░░░░░░░░░ ░░░░░░░░░░░ ░░░░░░░░░░░ ░░░░░░░░░░░░",
        "",
        " next  ██████████  ██████      ██████████  ██████████",
        "       ████            ██      ████              ████",
        "       ████████      ██        ████              ████",
        "             ████    ██        ██████          ████",
        "             ████              ████          ██████                █▀▀     ▀▀▄     ▀▀▄     █ █",
        "       ████  ████              ████          ████                  ▀▀▄ ▀▀▀ ▄▀  ▀▀▀  ▀▄ ▀▀▀ ▄▀▄",
        "         ██████                ████          ████                  ▀▀      ▀▀▀     ▀▀      ▀ ▀",
        "",
        "     ██            ████      ██      ████    ████",
        "     ██            ██  ██  ██  ██  ██      ██",
        " ██  ██  ██        ████    ██████    ██      ██",
        "   ██████          ██  ██  ██  ██      ██      ██",
        "     ██            ████    ██  ██  ████    ████",
        "",
        "",
        "",
        "                                                                                      V bar 3 of 40",
      ]
    `);
  });

  const label = fc.constantFrom('1', '4', 'b7', '6-', '5⁷', '♯4-7♭5/♭3', '2-⁷', '');
  const chord = fc.constantFrom('A', 'B♭m', 'F♯m7♭5/E♭', 'C', '');
  it('is as large as the screen, cuts nothing in silence, and never jumps', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 60, max: 240 }),
        fc.integer({ min: 17, max: 69 }),
        fc.boolean(),
        label,
        label,
        chord,
        fc.constantFrom(null, 1, 16, 128),
        (columns, rows, unicode, now, next, name, beatsLeft) => {
          const other: FarView = {
            ...view,
            unicode,
            beatsLeft,
            now: { number: now, chord: name },
            next: { number: next, chord: name },
          };
          const lines = farLines(other, columns, rows);
          expect(lines).toHaveLength(rows);
          for (const line of lines) expect(lineWidth(line)).toBe(columns);
          const bar = (one: FarView): number =>
            farLines(one, columns, rows).findIndex((line) => line.some((piece) => /^rail/.test(piece.style)));
          expect(bar({ ...other, beatsLeft: null })).toBe(bar({ ...view, unicode }));
        },
      ),
    );
  });

  it('has air round the beats on few lines too, so that nothing of the bar touches a letter', () => {
    const lines = farLines(view, 80, 23);
    const at = lines.findIndex((line) =>
      line.some(({ style, text }) => style === 'count' && /^▄+$/.test(text)),
    );
    const [upper = '', lower = ''] = lines.slice(at, at + 2).map((line) => plainText(line).trimEnd());
    expect(upper).toMatch(/^ (▄{8,9} ){2}▄{8,9}$/);
    expect(lower).toMatch(/^ (▀{8,9} ){3}(─{8,9} ?){5}$/);
    // The letters end above and begin below; none is smaller for it.
    expect(plainText(lines[at - 1] ?? [])).toContain('████');
    expect(plainText(lines[at + 2] ?? [])).toContain('████');
    expect(at).toBe(8);
    const ascii = farLines({ ...view, unicode: false }, 80, 23).map((line) => plainText(line).trim());
    expect(ascii[8]).toBe('');
    expect(ascii[9]).toMatch(/^(#+ ){3}(-+ ?){5}$/);
  });

  it('draws what is now at least as large as what comes, on however many lines', () => {
    for (const unicode of [true, false])
      for (let rows = 17; rows <= 69; rows += 1) {
        const same: FarView = {
          ...view,
          unicode,
          now: { number: '1', chord: 'G' },
          next: { number: '1', chord: 'G' },
        };
        const lines = farLines(same, 140, rows);
        const bar = lines.findIndex((line) => line.some(({ style }) => style === 'rail'));
        const tall = (from: number, to: number): number =>
          lines
            .slice(from, to)
            .filter((line) => line.some(({ style, text }) => style === 'number' && text.trim() !== ''))
            .length;
        expect(tall(0, bar), `${rows} lines`).toBeGreaterThanOrEqual(tall(bar, rows));
      }
  });

  it('says on its last line what there is to say, with as much beside it as has room', () => {
    const last = (told: string, columns: number): string =>
      plainText(
        farLines({ ...view, glance: '↑ treble · L to G', notice: [piece(' '), piece(told)] }, columns, 23).at(
          -1,
        ) ?? [],
      ).trimEnd();
    expect(last('', 80)).toMatch(/^ L to G {59}V bar 3 of 40$/);
    expect(last('tempo 94', 80)).toMatch(/^ L to G {3}tempo 94 +V bar 3 of 40$/);
    expect(last('x'.repeat(60), 80)).toBe(` L to G   ${'x'.repeat(60)}`);
    expect(last('x'.repeat(76), 80)).toBe(` ${'x'.repeat(76)}`);
  });

  it.each([
    [60, 17],
    [80, 23],
    [100, 29],
    [140, 44],
  ])('has a bar that empties a block a beat until the change, at %i by %i', (columns, rows) => {
    const bar = (beatsLeft: number): readonly number[] => {
      const drawn = farLines({ ...view, beatsLeft, span: 8 }, columns, rows);
      const line = drawn.find((one) =>
        one.some(({ style, text }) => style === 'count' && /^[█▄]+$/.test(text)),
      );
      return ['count', 'rail'].map((style) => line?.filter((one) => one.style === style).length ?? -1);
    };
    for (let left = 8; left >= 1; left -= 1) expect(bar(left)).toEqual([left, 8 - left]);
  });

  it.each([
    [60, 17],
    [80, 23],
    [100, 29],
    [140, 44],
    [240, 69],
  ])('has no figure beside another one that could be read as part of it, at %i by %i', (columns, rows) => {
    for (const names of ['5⁷', '1'])
      for (const chord of ['', 'F♯m']) {
        const lines = farLines(
          {
            ...view,
            now: null,
            next: { number: names, chord },
            beatsLeft: 15,
            span: 16,
            glance: '↗ bridge 3 · L to G',
          },
          columns,
          rows,
        );
        for (const line of lines) {
          // Large figures only: the number, and frets where a chord stands between them.
          const large = line.filter(({ text, style }) => /[█▀▄]/.test(text) && !/rail|count/.test(style));
          const styles = large.map(({ style }) => style);
          expect(styles.filter((style) => style === 'number').length).toBeLessThanOrEqual(1);
          if (styles.includes('number') && chord === '') expect(styles).toEqual(['number']);
        }
      }
  });

  it('keeps what the fingers do apart from the way above it, where both are large', () => {
    for (const [columns, rows] of [
      [100, 29],
      [140, 44],
    ] as const) {
      const lines = farLines({ ...view, glance: '↑ treble · L to G' }, columns, rows).map(plainText);
      const last = lines.findLastIndex((line) => /[█▀▄]/.test(line));
      // Letters of five pixels are three lines, the first with its upper half empty.
      expect(lines.slice(last - 2, last + 1).map((line) => line.trimEnd().slice(0, 4))).toEqual([
        ' ▄  ',
        ' █  ',
        ' █▄▄',
      ]);
    }
  });

  it.each([
    ['↓ bass', 80, 23, 5],
    ['→ bridge 2 · L M I R', 80, 23, 3],
    ['stay L · M to D, R to A', 80, 23, 5],
    ['= stay', 80, 23, 5],
    ['↖ nut 2 · I to A', 100, 29, 5],
    ['↓ bass', 140, 44, 8],
  ])('says the way of the hand in large letters: %s at %i by %i', (glance, columns, rows, tall) => {
    const lines = farLines({ ...view, glance }, columns, rows);
    const large = lines.filter((line) =>
      line.some(({ style, text }) => style === 'count' && /[█▀▄]/.test(text) && !/^(█+|▄+|▀+)$/.test(text)),
    );
    expect(large.length).toBeGreaterThanOrEqual(tall);
    const fingers = glance.split(' · ')[1];
    const last = plainText(lines.at(-1) ?? []);
    if (fingers !== undefined && rows < 24) expect(last).toContain(fingers);
  });

  it('says the way in plain letters where it has none, and without Unicode in ASCII', () => {
    const shown = (one: Partial<FarView>): string =>
      farLines({ ...view, ...one }, 80, 23)
        .map(plainText)
        .join('\n');
    expect(shown({ glance: 'capo 3: letters of G ♭' })).toContain('capo 3: letters of G ♭');
    expect(shown({ unicode: false })).toMatch(/^[\x20-\x7e\n♭⁷]*$/);
    expect(
      shown({ unicode: false, glance: '→ bridge 12 and much farther than any hand · I to A' }),
    ).toContain('> bridge 12 and much farther');
  });

  it('counts in', () => {
    const counting = farLines({ ...view, now: null, beat: null, counting: 3 }, 100, 29);
    expect(counting.some((line) => line.some((piece) => piece.style === 'count'))).toBe(true);
    const rail = counting.find((line) => line.some((piece) => piece.style === 'rail-on'));
    expect(rail?.filter((piece) => piece.style.startsWith('rail')).map((piece) => piece.style)).toEqual([
      'rail',
      'rail',
      'rail-on',
      'rail',
    ]);
  });

  it('keeps the beat that sounds in sight, in bars of any length, and counts on past a bar', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 20, max: 240 }),
        fc.integer({ min: 12, max: 69 }),
        fc.integer({ min: 1, max: 300 }),
        fc.nat(),
        fc.boolean(),
        (columns, rows, beats, at, unicode) => {
          const beat = at % beats;
          const lit = (one: Partial<FarView>): string[] =>
            farLines({ ...view, beatsLeft: null, beats, unicode, ...one }, columns, rows).flatMap((line) =>
              line.filter((piece) => piece.style === 'rail-on').map((piece) => piece.text.trim()),
            );
          expect(lit({ beat })[0]).toMatch(/^(█+|▄+|#+|\d+\/\d+)$/);
          expect(lit({ beat: null, counting: beats + beat + 1 })).toEqual(lit({ beat }));
        },
      ),
    );
  });

  it('writes the beat out where a bar has more beats than there are columns', () => {
    const rail =
      farLines({ ...view, beatsLeft: null, beats: 128, beat: 70 }, 60, 17).find((line) =>
        line.some(({ style }) => style === 'rail-on'),
      ) ?? [];
    expect(plainText(rail).trimEnd()).toBe(' 71/128');
    const apart = farLines({ ...view, beatsLeft: null, beats: 128, beat: 70 }, 80, 23)
      .map(plainText)
      .join('\n');
    expect(apart.match(/71\/128/g)).toHaveLength(1);
  });

  it('keeps the chord and the beats where they are whatever the number now is', () => {
    for (const [columns, rows] of [
      [60, 17],
      [100, 29],
      [240, 69],
    ] as const) {
      const place = (number: string): number[] =>
        farLines({ ...view, now: { number, chord: 'E' } }, columns, rows).map((line) => {
          const at = line.findIndex((piece) => piece.style === 'chord');
          return at < 0 ? -1 : lineWidth(line.slice(0, at));
        });
      for (const number of ['♭7', '6-', '♯4-⁷♭5/♭3', '']) expect(place(number)).toEqual(place('1'));
    }
  });

  it.each([
    [60, 17],
    [80, 22],
    [80, 24],
    [120, 36],
    [240, 69],
  ])('draws the chord at least half as tall as the number at %i by %i', (columns, rows) => {
    const tall = (style: string): number =>
      farLines({ ...view, now: { number: '4', chord: 'B♭m' }, next: null }, columns, rows).filter((line) =>
        line.some((piece) => piece.style === style && /[█▀▄]/.test(piece.text)),
      ).length;
    expect(tall('number')).toBeGreaterThanOrEqual(7);
    expect(2 * tall('chord')).toBeGreaterThanOrEqual(tall('number'));
  });

  it('says by an ellipsis that a label was cut', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 20, max: 240 }),
        fc.integer({ min: 10, max: 69 }),
        fc.integer({ min: 1, max: 40 }),
        (columns, rows, times) => {
          const number = '♯4'.repeat(times);
          const lines = farLines({ ...view, now: { number, chord: '' }, next: null }, columns, rows);
          const shown = lines.flatMap((line) => line.filter((piece) => piece.style === 'number'));
          const text = shown.map((piece) => piece.text.trim()).join('');
          if (!/[█▀▄]/.test(text)) expect(text === number || text.endsWith('…')).toBe(true);
          else expect(shown.every((piece) => !piece.text.includes('…'))).toBe(true);
          expect(text).not.toBe('');
        },
      ),
    );
  });
});
