import { describe, expect, it } from 'vitest';
import { plainSong, windingSong } from '../../band/songs.js';
import { BandStage, clicksOff } from '../band-stage.js';

describe('a follower', () => {
  it('waits without a chart, then has the leader’s on its own stand, and plays it together with the leader', () => {
    const stage = new BandStage();
    const other = stage.come({ name: 'Bo' });
    other.begin('join');
    expect(other.model.mode.kind).toBe('follow');
    expect(other.title).toBeNull();
    const leader = stage.come({ name: 'Ansa' });
    leader.put(plainSong);
    leader.begin('lead');
    stage.wait(1500);
    expect(other.title).toBe('Osier Steps');
    expect(other.notices).toContain('Ansa leads; silent here: o for sound');
    leader.press('play');
    stage.wait(8000);
    expect(leader.where).toMatch(/^music 1\./);
    expect(other.where).toBe(leader.where);
    const off = clicksOff(leader, other);
    expect(off.length).toBeGreaterThan(10);
    expect(Math.max(...off)).toBeLessThan(1);
  });

  it.each([0, 1, 2])(
    'stands still where the leader pauses while its own music is on its way: seed %i',
    (seed) => {
      const stage = new BandStage(seed, { delay: 1, jitter: 8, loss: 0.02, doubled: 0.02, reorders: false });
      const { leader, others } = stage.band(plainSong, 2);
      leader.put(plainSong);
      stage.wait(10);
      leader.press('play');
      stage.wait(46);
      leader.press('loop-from');
      stage.wait(5);
      stage.room.disconnect(leader);
      stage.world.at(stage.world.now + 100, () => stage.room.connect(leader));
      stage.wait(5);
      leader.press('play');
      stage.wait(3000);
      expect(leader.model.session.link.state).toBe('paused');
      for (const other of others) {
        expect(other.model.session.link.state).not.toBe('running');
        expect(other.output.hanging).toBe(0);
      }
    },
  );

  it('is told of a new key without the families of a hand that its part does not use', () => {
    const stage = new BandStage();
    const { leader, other } = stage.band(plainSong);
    leader.press('key-up');
    stage.wait(500);
    expect(other.model.band?.band.part).toBe('guitar');
    expect(leader.notices.at(-1)).toMatch(/^key Ab: .*family/);
    expect(other.notices.at(-1)).toBe('key Ab');
  });

  it('does not release the leader’s held chord by its own keys, and is told that the leader does', () => {
    const stage = new BandStage();
    const { leader, other } = stage.band(windingSong);
    leader.press('play');
    stage.wait(8000);
    const waits = () =>
      [leader, other].map(({ model }) => model.session.performance?.cursor.waits ?? 'nothing');
    expect(waits()).toEqual(['chord', 'chord']);
    const told = other.done('tell').length;
    other.press('section-on');
    stage.wait(500);
    expect(
      other
        .done('tell')
        .slice(told)
        .some(({ message }) => message.kind === 'release'),
    ).toBe(false);
    expect(waits()).toEqual(['chord', 'chord']);
    leader.press('section-on');
    stage.wait(500);
    expect(waits()).toEqual(['nothing', 'nothing']);
    expect(other.where).toBe(leader.where);
  });

  it('knows that the leader leads again where both were away at once, and the leader was back first', () => {
    const stage = new BandStage(0, { delay: 1, jitter: 8, loss: 0, doubled: 0, reorders: false });
    const { leader, other } = stage.band(plainSong);
    stage.room.disconnect(leader);
    stage.wait(20);
    stage.room.disconnect(other);
    stage.wait(5);
    leader.press('play');
    stage.wait(100);
    stage.room.connect(leader);
    stage.wait(20);
    stage.room.connect(other);
    stage.wait(4000);
    expect(leader.where).toMatch(/^music/);
    expect(other.where).toBe(leader.where);
  });

  it('goes with the leader’s key, tempo, form, loop, pause and end', () => {
    const stage = new BandStage(3);
    const { leader, other } = stage.band(plainSong);
    const same = (): void => {
      const [mine, theirs] = [other, leader].map(({ model }) => model.session.performance?.setup);
      expect(mine?.key).toEqual(theirs?.key);
      expect(mine?.bpm).toBe(theirs?.bpm);
      expect(mine?.range).toEqual(theirs?.range);
      expect(mine?.passes).toBe(theirs?.passes);
      expect(other.where).toBe(leader.where);
    };
    leader.press('play');
    for (const actions of [
      ['faster', 'faster'],
      ['key-up'],
      ['extend'],
      ['one-pass-more'],
      ['slower'],
      ['loop-from', 'loop-to'],
      ['loop-off'],
      ['ending'],
    ] as const) {
      leader.press(...actions);
      stage.wait(3300);
      same();
    }
    leader.press('play');
    stage.wait(500);
    expect(leader.model.session.link.state).toBe('paused');
    expect(other.model.session.link.state).toBe('paused');
    leader.press('play');
    stage.wait(4000);
    same();
    if (leader.model.session.performance?.setup.passes === null) leader.press('last-pass');
    stage.wait(60_000);
    expect(leader.model.session.link.state).toBe('stopped');
    expect(other.model.session.link.state).toBe('stopped');
    expect(other.output.hanging).toBe(0);
  });

  it('is in place within a second when it comes late', () => {
    const stage = new BandStage(4);
    const { leader } = stage.band(plainSong);
    leader.press('play');
    stage.wait(6000);
    const late = stage.come({ name: 'Cy' });
    late.begin('join');
    stage.wait(1000);
    expect(late.where).toBe(leader.where);
    expect(late.where).toMatch(/^music/);
  });

  it('is told in a sentence what is the leader’s, and changes nothing of it', () => {
    const { leader, other, stage } = playing();
    const before = other.model.session.performance?.setup;
    for (const [action, says] of [
      ['play', 'Ansa starts and stops the music'],
      ['faster', 'Ansa sets the tempo; B asks'],
      ['tap', 'Ansa sets the tempo; B asks'],
      ['key-up', 'Ansa sets the key; B asks'],
      ['choose-key', 'Ansa sets the key; B asks'],
      ['loop-from', 'Ansa sets the form; B asks'],
      ['extend', 'Ansa sets the form; B asks'],
      ['hold', 'Ansa sets the form; B asks'],
      ['edit-bar', 'leave the band for that: B, then o'],
    ] as const) {
      other.press(action);
      expect(other.model.notice).toBe(says);
    }
    expect(other.model.overlay).toBeNull();
    expect(other.model.session.performance?.setup).toBe(before);
    stage.wait(3000);
    expect(other.where).toBe(leader.where);
  });

  it('has its own click, voices, names, far view and layout, from song to song, and the leader has others', () => {
    const { stage, leader, other } = playing();
    other.press('far', 'names', 'layout');
    other.dispatch({ kind: 'click-chosen', click: { kind: 'off', accents: true, gaps: null }, at: other.at });
    other.press('choose-voices', 'voice-toggle', 'back');
    const own = other.model.session.performance?.setup;
    stage.wait(3000);
    expect(other.where).toBe(leader.where);
    leader.put(windingSong);
    stage.wait(1000);
    expect(other.title).toBe('Six Locks Down');
    const now = other.model.session.performance?.setup;
    expect(now?.click).toEqual(own?.click);
    expect(now?.mix).toEqual(own?.mix);
    expect(leader.model.session.performance?.setup.click.kind).not.toBe('off');
    expect(other.model.mode).toMatchObject({
      stand: { sight: { far: true, names: 'numbers', layout: 'phrases' } },
    });
  });

  it('looks ahead and back while the music goes on, and comes back by itself, by Home and by Escape', () => {
    const { stage, leader, other } = playing();
    const look = () => (other.model.mode.kind === 'follow' ? (other.model.mode.look?.bar ?? null) : null);
    other.press('section-on', 'bar-on');
    expect(look()).toBe(5);
    expect(other.where).toBe(leader.where);
    other.press('back');
    expect(look()).toBeNull();
    expect(other.model.confirm).toBeNull();
    other.press('to-end');
    expect(look()).toBe(4);
    other.press('to-start');
    expect(look()).toBeNull();
    other.press('go-to');
    other.type('7');
    other.press('line-done');
    expect(look()).toBe(6);
    const sent = other.done('replace').length;
    stage.wait(17_000);
    expect(look()).toBeNull();
    expect(other.where).toBe(leader.where);
    expect(other.done('replace').length).toBe(sent);
    expect(Math.max(...clicksOff(leader, other))).toBeLessThan(1);
  });

  it('keeps its own passes in its own diary by title, and writes nothing that came from the network', () => {
    const { stage, leader, other } = playing();
    other.press('mark-clean');
    stage.wait(20_000);
    expect(other.done('record')[0]).toMatchObject({
      result: 'clean',
      record: { title: 'Osier Steps', file: null },
    });
    leader.put(windingSong);
    stage.wait(2000);
    leader.press('play', 'key-up', 'faster');
    stage.wait(9000);
    for (const kind of [
      'keep',
      'write',
      'write-new',
      'write-copy',
      'keep-run',
      'keep-transcript',
      'open',
    ] as const)
      expect(other.done(kind)).toEqual([]);
  });

  it('keeps a chart in its own folder where that is asked for', () => {
    const { other } = playing();
    other.press('band', 'band-keep-chart', 'line-done');
    const [kept, ...more] = other.done('write-copy');
    expect(more).toEqual([]);
    expect(kept).toMatchObject({ of: '', name: 'Osier Steps' });
    expect(kept?.text).toContain('title: Osier Steps');
  });
});

function playing() {
  const stage = new BandStage(11);
  const made = stage.band(plainSong);
  made.leader.press('play');
  stage.wait(5000);
  return { stage, ...made };
}
