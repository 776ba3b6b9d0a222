import { describe, expect, it } from 'vitest';
import type { Member } from '../../../../src/band/band.js';
import { passView } from '../../../../src/playback/pass-view.js';
import { bandLines } from '../../../../src/ui/draw/band/band-lines.js';
import { cardOfPart } from '../../../../src/ui/draw/band/card-part.js';
import { waitingLines } from '../../../../src/ui/draw/band/waiting.js';
import type { Model } from '../../../../src/ui/state/model.js';
import { bandScene, type Scene, texts, waitingScene } from './stage.js';

const drawn = (model: Model, chosen = 0, whose = false): string[] =>
  texts(bandLines(model, { kind: 'band', chosen, whose }));

const students = new Map(
  Array.from({ length: 20 }, (_, index): [string, Member] => [
    `s${index}`,
    { id: `s${index}`, name: `Student ${String(index + 1).padStart(2, '0')}`, part: 'mandolin' },
  ]),
);
const results = new Map([
  ['s3', { from: 'Student 4', pass: 2, line: 'Weir Hands, 220: clean' }],
  ['s19', { from: 'Student 20', pass: 7, line: 'Weir Hands, 220: not clean; the change to 5 came late' }],
]);
const lesson = (scene: Scene): Model =>
  bandScene({ ...scene, leads: true, view: { isClass: true, results }, band: { members: students } });

describe('the band in front of the chart', () => {
  it('shows the word in letters that are read across a room, larger where there is room', () => {
    const usual = drawn(bandScene());
    expect(usual.slice(2, 8)).toEqual([
      '  █ █ ▄▀▀▄ █   ▄▀▄     ▀█▀ ▀█▀ █▀▄ █ █',
      '  █▀▄ █  █ █   █▀█ ▀▀▀  █   █  █▀▄ █ █ ▀▀▀',
      '  ▀ ▀  ▀▀  ▀▀▀ ▀ ▀      ▀  ▀▀▀ ▀ ▀ ▀▀▀',
      '  █▀▄ ▄▀▄ █▄ ▄█ ▄▀▀▄     ▄▀▀ ▀█▀ █▀▄ █ █',
      '  █▀▄ █▀█ █ ▀ █ █  █ ▀▀▀  ▀▄  █  █ █ █ █',
      '  ▀▀  ▀ ▀ ▀   ▀  ▀▀      ▀▀  ▀▀▀ ▀▀  ▀▀▀',
    ]);
    const large = drawn(bandScene({ columns: 120, rows: 40 }));
    expect(large[2]).toMatch(/^ {2}██ {2}██/);
    expect(drawn(bandScene({ columns: 60, rows: 18 }))[1]).toBe('  k o l a - t i r u - b a m o - s i d u');
  });

  it('says what the others type, also where they have to name the address', () => {
    expect(drawn(bandScene()).join('\n')).toContain('the others type  barkline join kola-tiru-bamo-sidu');
    const other = { word: 'my own  long word', address: 'mqtts://broker.example:8883', carried: false };
    const lines = drawn(bandScene({ columns: 120, view: { place: other } })).join('\n');
    expect(lines).toContain('barkline join mqtts://broker.example:8883 --word my-own-long-word');
    const quoted = drawn(bandScene({ view: { place: { ...other, word: 'no&one;knows', carried: true } } }));
    expect(quoted.join('\n')).toContain('barkline join "no&one;knows"');
    expect(drawn(bandScene({ view: { place: null } })).join('\n')).toContain(
      'the network has not answered yet',
    );
  });

  it('has a line for each student of a class with the last pass, and goes with the one that is chosen', () => {
    const first = drawn(lesson({}), 0);
    expect(first).toHaveLength(23);
    expect(first).toContain('  ▸ Student 01  mandolin   no pass yet');
    expect(first).toContain('    Student 04  mandolin   pass 2: Weir Hands, 220: clean');
    expect(first.join('\n')).not.toContain('Student 20');
    const last = drawn(lesson({}), 19);
    expect(last.join('\n')).toContain(
      '▸ Student 20  mandolin   pass 7: Weir Hands, 220: not clean; the change to 5…',
    );
    expect(last.join('\n')).toContain('of 21');
    // All of them at once where the screen has the lines.
    const tall = drawn(lesson({ columns: 120, rows: 40 }), 0);
    for (const { name } of students.values()) expect(tall.join('\n')).toContain(` ${name} `);
  });

  it('shows what was asked for first, and who plays what', () => {
    const asked = [{ from: 'Cid', title: 'Nine Barges Late' }];
    const lines = drawn(bandScene({ leads: true, view: { requests: asked } }), 0);
    expect(lines).toContain('    Bea  guitar     you lead');
    expect(lines).toContain('  ▸ asked for: Nine Barges Late (Cid)');
    expect(lines).toContain('    Ada  mandolin');
    expect(lines.join('\n')).toContain('Enter finds it');
    expect(drawn(bandScene()).join('\n')).toContain('Ada  mandolin   leads');
  });

  it('says what can be called, and then whose break', () => {
    expect(drawn(bandScene()).join('\n')).toContain(
      'say  1 once more  2 last time  3 softer  4 key up  5 break  6 hold  7 end',
    );
    expect(drawn(bandScene(), 0, true).join('\n')).toContain(
      'whose break?  1 mandolin  2 guitar  3 bass  4 banjo  5 fiddle  6 singer',
    );
  });

  it('has the keys that the settings give it', () => {
    const model = bandScene();
    const bindings = model.bindings.map((one) =>
      one.place === 'band' && one.action === 'call-once-more' ? { ...one, keys: ['m'] } : one,
    );
    expect(drawn({ ...model, bindings }).join('\n')).toContain('say  m once more');
  });
});

describe('the card of a song, for a leader without shapes', () => {
  const card = (scene: Scene): string[] | null => {
    const model = bandScene({ ...scene, leads: true });
    const { performance } = model.session;
    if (!performance) throw new Error('there is no song');
    const lines = cardOfPart(model, performance, passView(performance), 40);
    return lines && texts(lines);
  };

  it('has the capo and the letters of the first bars as they are played', () => {
    expect(card({ part: 'guitar' })).toEqual([
      'capo 2, plays as G (key A)',
      '',
      'first',
      'G         D         G         G',
      'G         G         C         G',
    ]);
    expect(card({ part: 'bass' })).toEqual([
      'first',
      'A         E         A         A',
      'A         A         D         A',
    ]);
    expect(card({ part: 'mandolin' })).toBeNull();
  });
});

describe('a follower that waits', () => {
  it('says for whom, and what it is there as', () => {
    const lines = texts(waitingLines(waitingScene()));
    expect(lines.join('\n')).toContain(
      'You are Bea, guitar. The song appears on this stand as soon as Ada has one.',
    );
    const nobody = waitingScene({ band: { claims: null } });
    expect(texts(waitingLines(nobody)).join('\n')).toContain('Nobody leads yet');
    const early = waitingScene({ view: { place: null, trouble: 'no band was found yet' } });
    expect(texts(waitingLines(early)).join('\n')).toMatch(/Looking for the band[\s\S]*no band was found yet/);
  });

  it('shows a long running order round the song at hand, and notes cut to their share', () => {
    const songs = Array.from({ length: 60 }, (_, index) => ({ title: `Song ${index + 1}`, key: 'G' }));
    const notes = Array.from({ length: 40 }, (_, index) => `note ${index + 1}`);
    const lines = texts(
      waitingLines(waitingScene({ band: { set: { title: 'Long', songs, at: 40 }, notes } })),
    );
    expect(lines).toHaveLength(23);
    expect(lines.join('\n')).toMatch(/▸ 41 {2}Song 41 {2}G/);
    expect(lines.join('\n')).toContain('60 songs');
    expect(lines.join('\n')).toMatch(/note \d+ …/);
  });
});
