import { describe, expect, it } from 'vitest';
import { plainSong, windingSong } from '../../band/songs.js';
import { BandStage, chartOf, clicksOff, startsAt } from '../band-stage.js';

function playing(followers = 2) {
  const stage = new BandStage(31);
  const made = stage.band(plainSong, followers);
  made.leader.press('play');
  stage.wait(5000);
  return { stage, ...made };
}

describe('leading', () => {
  it('begins from the stand by B and l, over what it plays, with a word for the others', () => {
    const stage = new BandStage(30);
    const leader = stage.come({ name: 'Ansa' });
    leader.put(plainSong);
    stage.wait(200);
    leader.press('play');
    stage.wait(4000);
    leader.press('band');
    expect(leader.model.overlay?.kind).toBe('band');
    leader.press('band-lead');
    stage.wait(200);
    expect(leader.model.band?.place?.word).toBe('otter-lamp');
    expect(leader.done('band-leads')).toEqual([{ kind: 'band-leads', leads: true }]);
    expect(leader.model.mode.kind).toBe('chart');
    const other = stage.come({ name: 'Bo' });
    other.begin('join');
    stage.wait(1000);
    expect(other.where).toBe(leader.where);
    expect(other.where).toMatch(/^music/);
  });

  it('is not left by one Escape while others follow, and the others go on to the end of the pass', () => {
    const { stage, leader, other } = playing();
    leader.press('back');
    expect(leader.done('leave')).toEqual([]);
    expect(leader.notices.at(-1)).toMatch(/^Esc again leaves the band/);
    stage.wait(1000);
    expect(other.where).toMatch(/^music/);
    expect(leader.where).toBe(other.where);
    leader.press('back');
    expect(leader.done('leave')).toHaveLength(1);
    stage.wait(500);
    expect(other.where).toMatch(/^music/);
  });

  it('is taken by a follower in the middle of a song, and given back, and nobody else notices but by name', () => {
    const { stage, leader, other, others } = playing();
    const third = others[1] as typeof other;
    const texts = leader.model.mode;
    other.press('band', 'band-lead');
    stage.wait(1500);
    expect(other.model.mode).toMatchObject({ kind: 'chart', text: { file: '' } });
    expect(leader.model.mode.kind).toBe('follow');
    expect(leader.notices.at(-1)).toBe('Bo1 leads');
    expect(leader.done('band-leads').at(-1)).toEqual({ kind: 'band-leads', leads: false });
    other.press('back', 'key-up', 'faster');
    stage.wait(3000);
    expect(leader.where).toBe(other.where);
    expect(third.where).toBe(other.where);
    expect(leader.model.session.performance?.setup.key).toEqual(other.model.session.performance?.setup.key);
    leader.press('band', 'band-lead');
    stage.wait(1500);
    expect(other.model.mode.kind).toBe('follow');
    // It is the chart of its own file again.
    expect(leader.model.mode).toMatchObject({ kind: 'chart', text: { file: 'own.yaml' } });
    expect(texts.kind).toBe('chart');
    leader.press('back', 'slower');
    stage.wait(2000);
    for (const stand of [other, third]) {
      expect(stand.where).toBe(leader.where);
      expect(Math.max(...clicksOff(leader, stand).slice(-4))).toBeLessThan(2);
      expect(stand.output.hanging).toBeLessThan(8);
    }
  });

  it('that was laid down leaves the others to the end of the pass; then anybody takes it', () => {
    const { stage, leader, other } = playing();
    leader.press('band', 'band-lay-down');
    stage.wait(100);
    expect(other.notices).toContain('nobody leads any more: it goes on to the end of the pass');
    expect(other.where).toMatch(/^music 1/);
    stage.wait(20_000);
    expect(other.model.session.link.state).toBe('stopped');
    other.press('play');
    expect(other.model.notice).toBe('nobody leads now: press B, then l, to lead');
    other.press('band', 'band-lead');
    stage.wait(300);
    expect(leader.model.mode.kind).toBe('follow');
    other.press('back', 'play');
    stage.wait(5000);
    expect(other.where).toMatch(/^music/);
    expect(leader.where).toBe(other.where);
  });

  it('whose machine dies is told, and the song is played to the end of the pass', () => {
    const { stage, leader, other } = playing();
    leader.die();
    stage.wait(200);
    expect(other.notices).toContain('nobody leads any more: it goes on to the end of the pass');
    stage.wait(20_000);
    expect(other.model.session.link.state).toBe('stopped');
    expect(other.output.hanging).toBe(0);
  });

  it('is taken where the broker has gone with the leader: the stand is told to open another, and leads when that answers', () => {
    const { stage, leader, other } = playing();
    leader.die();
    stage.room.disconnect(other);
    stage.wait(300);
    expect(other.model.band?.band.up).toBe(false);
    other.press('band', 'band-lead');
    expect(other.done('band-leads')).toEqual([{ kind: 'band-leads', leads: true }]);
    expect(other.model.notice).toBe('you will lead as soon as the network is there');
    stage.room.connect(other);
    stage.wait(1500);
    expect(other.model.band?.band.claims?.role).toBe('leads');
  });

  it('that was laid down before the network went is nobody’s when it is back, and how it is taken is said', () => {
    const { stage, leader } = playing();
    leader.press('suspend');
    stage.wait(50);
    stage.room.disconnect(leader);
    stage.wait(1000);
    stage.room.connect(leader);
    stage.wait(1000);
    expect(leader.notices).toContain('the network is back, and nobody leads: press B, then l, to lead');
  });

  it('lays down before the shell takes over', () => {
    const { stage, leader, other } = playing();
    leader.press('suspend');
    expect(leader.effects.at(-1)?.kind).toBe('suspend');
    stage.wait(200);
    expect(other.model.band?.band.announced).toBeNull();
  });

  it('says goodbye before the program is left', () => {
    const { stage, leader, other } = playing();
    leader.press('leave');
    expect(leader.effects.slice(-2).map(({ kind }) => kind)).toEqual(['leave-band', 'leave']);
    stage.wait(200);
    expect(other.model.band?.band.members.size).toBe(1);
    expect(other.notices).toContain('nobody leads any more: it goes on to the end of the pass');
  });

  it('stops the others’ music where the leader leaves the chart', () => {
    const { stage, leader, other } = playing();
    leader.dispatch({
      kind: 'library',
      library: { title: 'charts', items: [], index: 0, from: null, query: '' },
    });
    leader.put(windingSong);
    leader.press('back');
    stage.wait(500);
    expect(leader.model.mode.kind).toBe('library');
    expect(other.model.session.link.state).not.toBe('running');
    expect(other.output.hanging).toBe(0);
  });
});

describe('a drill that is led', () => {
  it('is on all stands, at its tempo, from rung to rung; back on the chart it is the chart again', () => {
    const stage = new BandStage(34);
    const { leader, other } = stage.band(plainSong);
    leader.press('choose-drill');
    const { overlay } = leader.model;
    const drills = overlay?.kind === 'drills' ? overlay.drills : [];
    expect(drills.length).toBeGreaterThan(2);
    for (const drill of drills) {
      leader.dispatch({ kind: 'drill-chosen', drill });
      stage.wait(600);
      expect(other.title).toBe(drill.chart.title);
      leader.press('play');
      stage.wait(6500);
      expect(other.where).toBe(leader.where);
      expect(other.where).not.toBe('stopped');
      const [mine, theirs] = [other, leader].map(({ model }) => model.session.performance?.setup);
      expect(mine?.bpm).toBe(theirs?.bpm);
      leader.press('play');
      stage.wait(300);
    }
    leader.press('back');
    stage.wait(600);
    expect(leader.model.mode.kind).toBe('chart');
    expect(other.title).toBe('Osier Steps');
  });

  it('is not a chart that is being written down: that is the leader’s own, and nothing plays meanwhile', () => {
    const { stage, leader, other } = playing();
    const taken = chartOf(plainSong);
    leader.dispatch({
      kind: 'chart-opened',
      file: '',
      chart: { ...taken, title: 'writing down' },
      source: '',
      start: startsAt(taken),
      transcript: { bars: [], split: false, last: null },
    });
    leader.press('play');
    stage.wait(3000);
    expect(leader.model.mode.kind).toBe('transcribe');
    expect(other.title).toBe('Osier Steps');
    expect(other.model.session.link.state).not.toBe('running');
  });
});

describe('a set whose leader follows somebody else’s song', () => {
  it('is gone back to', () => {
    const stage = new BandStage(33);
    const { leader, other } = stage.band(plainSong);
    other.press('band', 'band-lead');
    stage.wait(300);
    other.put(windingSong);
    stage.wait(500);
    expect(leader.title).toBe('Six Locks Down');
    leader.press('band', 'band-lead');
    stage.wait(300);
    expect(leader.model.mode).toMatchObject({ kind: 'chart', text: { file: '' } });
    expect(leader.title).toBe('Six Locks Down');
  });
});

describe('leaving', () => {
  it('is asked once more, and leaves the chart on the stand, which then plays by itself', () => {
    const { stage, leader, other } = playing();
    other.press('back');
    expect(other.model.notice).toBe('Esc again leaves the band');
    other.press('back');
    expect(other.model.band).toBeNull();
    stage.wait(300);
    expect(other.model.mode.kind).toBe('chart');
    expect(other.model.session.link.state).toBe('paused');
    expect(leader.notices).toContain('Bo1 has left');
    other.press('faster', 'play');
    stage.wait(3000);
    expect(other.where).toMatch(/^music/);
    // Nothing of what is changed now is kept under a file, nor in one.
    expect(other.done('keep')).toEqual([]);
    expect(other.done('write')).toEqual([]);
  });

  it('can be followed by coming back', () => {
    const { stage, leader, other } = playing();
    other.press('band', 'band-leave', 'band-leave');
    stage.wait(500);
    other.begin('join');
    stage.wait(1500);
    expect(other.where).toBe(leader.where);
  });
});

describe('a chart that came from the network', () => {
  it('is written only where its player rewrites a bar, and then under a name that is asked for', () => {
    const { stage, other } = playing();
    other.press('band', 'band-leave', 'band-leave');
    stage.wait(300);
    other.press('edit-bar');
    expect(other.model.overlay?.kind).toBe('line');
    for (let count = 0; count < 4; count += 1) other.press('line-erase');
    other.type('5');
    other.press('line-done');
    expect(other.done('write')).toEqual([]);
    expect(other.model.overlay).toMatchObject({ kind: 'line', purpose: { kind: 'save-as' } });
    other.press('line-done');
    const [copy] = other.done('write-copy');
    expect(copy).toMatchObject({ of: '', name: 'Osier Steps' });
  });
});
