import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { songFacts } from '../../src/chart/find/song-facts.js';
import { SongsFile } from '../../src/config/songs-file.js';
import { chart } from '../chart/written.js';

const root = mkdtempSync(join(tmpdir(), 'barkline-songs-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const text =
  'title: Tin Heron\nkey: F#m\ntempo: half=118\nmeter: cut\ntags: slow, jam\nsections:\n  V: 1- 4- 1-\n';
const facts = songFacts(chart(text));

function place(name: string) {
  const charts = join(root, name, 'charts');
  mkdirSync(charts, { recursive: true });
  const file = join(charts, 'heron.yaml');
  writeFileSync(file, text);
  const state = join(root, name, 'state');
  const kept = (): string => join(state, 'songs', readdirSync(join(state, 'songs'))[0] as string);
  return { charts, file, state, kept, open: () => new SongsFile(charts, state) };
}

describe('what is known of songs', () => {
  it('is there at the next start, as it was read', () => {
    const { file, open } = place('next');
    const first = open();
    expect(first.known(file)).toBeNull();
    first.learn(file, facts);
    first.keep(new Set([file]));
    expect(open().known(file)).toStrictEqual(facts);
  });

  it('holds no longer when the file is another', () => {
    const { file, open } = place('other');
    const first = open();
    first.learn(file, facts);
    first.keep(new Set([file]));
    writeFileSync(file, `${text}# more\n`);
    expect(open().known(file)).toBeNull();
  });

  it('holds no longer when the file was changed to one as long, with its old time set back', () => {
    const { file, open } = place('back');
    const at = new Date(2020, 1, 1);
    utimesSync(file, at, at);
    const first = open();
    first.learn(file, facts);
    first.keep(new Set([file]));
    writeFileSync(file, text.replace('Heron', 'Goose'));
    utimesSync(file, at, at);
    expect(open().known(file)).toBeNull();
  });

  it('forgets files that are gone, and those that hold no song any more', () => {
    const { charts, file, open, kept } = place('gone');
    const first = open();
    first.learn(file, facts);
    first.learn(join(charts, 'gone.yaml'), facts);
    const third = join(charts, 'third.yaml');
    writeFileSync(third, text);
    first.learn(third, facts);
    first.learn(third, null);
    first.keep(new Set([file]));
    expect(Object.keys(JSON.parse(readFileSync(kept(), 'utf8')).songs)).toStrictEqual(['heron.yaml']);
  });

  it('is read again where what is kept is damaged, of another version, or nothing that a song has', () => {
    const { file, open, kept } = place('damaged');
    const first = open();
    first.learn(file, facts);
    first.keep(new Set([file]));
    const good = readFileSync(kept(), 'utf8');
    expect(open().known(file)).not.toBeNull();
    for (const bad of [
      '',
      '{',
      '[]',
      good.replace('"version":1', '"version":0'),
      good.replace('"F#"', '"H"'),
      good.replace('"half"', '7'),
    ]) {
      expect(bad).not.toBe(good);
      writeFileSync(kept(), bad);
      expect(open().known(file)).toBeNull();
    }
  });

  it('is not written where nothing changed', () => {
    const { file, open, kept } = place('same');
    const first = open();
    first.learn(file, facts);
    first.keep(new Set([file]));
    const old = new Date(2020, 1, 1);
    utimesSync(kept(), old, old);
    const next = open();
    next.known(file);
    next.keep(new Set([file]));
    expect(statSync(kept()).mtimeMs).toBe(old.getTime());
  });
});
