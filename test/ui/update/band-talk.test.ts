import { describe, expect, it } from 'vitest';
import { type BandView, bandRows } from '../../../src/ui/state/band.js';
import type { Message } from '../../../src/ui/state/messages.js';
import { plainSong, windingSong } from '../../band/songs.js';
import { BandStage, type BandStand, chartOf, startsAt } from '../band-stage.js';
import { told } from './heard-verdicts.js';

/** A band of three that plays. */
function playing(as = {}) {
  const stage = new BandStage(21);
  const made = stage.band(plainSong, 2, {}, as);
  made.leader.press('play');
  stage.wait(4000);
  const [one, two] = made.others as [BandStand, BandStand];
  return { stage, one, two, ...made };
}

describe('a caller’s word', () => {
  it('stands on every stand for a while, the caller’s own too, and closes what it was called from', () => {
    const { stage, leader, one, two } = playing();
    one.press('band', 'call-once-more');
    stage.wait(20);
    expect(one.model.overlay).toBeNull();
    for (const stand of [leader, one, two])
      expect(stand.model.band?.talk).toMatchObject({ from: 'Bo1', text: 'once more' });
    stage.wait(6000);
    for (const stand of [leader, one, two]) expect(stand.model.band?.talk).toBeNull();
  });

  it('goes away while nothing plays too', () => {
    const stage = new BandStage(2);
    const { leader, other } = stage.band(plainSong);
    leader.press('band', 'call-softer');
    stage.wait(20);
    expect(other.model.band?.talk?.text).toBe('softer');
    stage.wait(6000);
    expect(other.model.band?.talk).toBeNull();
  });

  it('of a break says whose, by the same digits', () => {
    const { stage, leader, one, two } = playing();
    leader.press('band', 'call-break');
    expect(leader.model.overlay).toMatchObject({ kind: 'band', whose: true });
    leader.press('back');
    expect(leader.model.overlay).toMatchObject({ kind: 'band', whose: false });
    leader.press('call-break', 'call-break');
    stage.wait(20);
    for (const stand of [one, two]) expect(stand.model.band?.talk?.text).toBe('break: fiddle');
  });

  it('is not hidden when somebody comes, and neither is a notice that must be read', () => {
    const { stage, leader, one } = playing();
    one.press('band', 'call-hold');
    stage.wait(20);
    const came = stage.come({ name: 'Cy' });
    came.begin('join');
    stage.wait(300);
    expect(leader.model.band?.talk?.text).toBe('hold');
    expect(leader.model.notice).toBe('Cy has joined: mandolin');
    stage.wait(9000);
    expect(leader.model.notice).toBe('');
    leader.press('loop-from');
    const says = leader.model.notice;
    expect(says).toContain('loop');
    const again = stage.come({ name: 'Di' });
    again.begin('join');
    stage.wait(500);
    expect(leader.model.notice).toBe(says);
  });

  it('is not sent while the network is away', () => {
    const { stage, one } = playing();
    stage.room.disconnect(one);
    stage.wait(10);
    expect(one.model.band?.trouble).toBe('the network has gone');
    one.press('band', 'call-end');
    expect(one.model.notice).toContain('nobody would see it');
    expect(one.model.band?.talk).toBeNull();
    one.press('back');
    stage.room.connect(one);
    stage.wait(1000);
    expect(one.model.band?.trouble).toBe('');
    expect(one.notices).toContain('the network is back');
  });
});

/** A set of two charts that is run by a leader, whose library has a third. */
function setRun() {
  const stage = new BandStage(22);
  const song = (id: number, text: string) => {
    const chart = chartOf(text);
    return {
      id,
      file: `${id}.yaml`,
      entry: id - 1,
      title: chart.title,
      gap: 'wait' as const,
      breakBefore: 0,
      seconds: 60,
      problem: null,
      chart,
      source: text,
      start: startsAt(chart, { passes: 1 }),
      notes: id === 1 ? 'slow start\nlook up' : null,
      singer: null,
      messages: [],
    };
  };
  const wanted = plainSong.replace('Osier Steps', 'Alder Ford');
  const library = {
    title: 'charts',
    index: 0,
    from: null,
    query: '',
    items: ['Alder Ford', 'Other'].map((title) => ({
      file: `${title}.yaml`,
      kind: 'chart' as const,
      title,
      detail: '',
      wishes: { key: null, bpm: null },
    })),
  };
  const leader = stage.come({ name: 'Ansa' }, (effect): Message | null => {
    if (effect.kind === 'list-requests') return { kind: 'requests', library };
    if (effect.kind === 'find-request')
      return { kind: 'request-found', song: { ...song(effect.id, wanted), file: effect.file, entry: null } };
    return null;
  });
  leader.begin('lead');
  leader.dispatch({
    kind: 'set-opened',
    file: 'evening.yaml',
    title: 'Evening',
    songs: [song(1, plainSong), song(2, windingSong)],
    faults: [],
    from: 0,
    waits: false,
    broken: null,
    notice: '',
    at: leader.at,
  });
  stage.wait(300);
  const other = stage.come({ name: 'Bo' });
  other.begin('join');
  stage.wait(1200);
  return { stage, leader, other };
}

describe('a set that is led', () => {
  it('shows its running order, its place and its notes to all, as they change, and its songs are played together', () => {
    const { stage, leader, other } = setRun();
    const seen = () => other.model.band?.band;
    expect(seen()?.set).toMatchObject({
      title: 'Evening',
      at: 0,
      songs: [{ title: 'Osier Steps' }, { title: 'Six Locks Down' }],
    });
    expect(seen()?.notes).toEqual(['slow start', 'look up']);
    expect(other.title).toBe('Osier Steps');
    leader.press('go-on');
    stage.wait(6000);
    expect(other.where).toBe(leader.where);
    expect(other.where).toMatch(/^music/);
    leader.press('song-next');
    stage.wait(1000);
    expect(seen()?.set?.at).toBe(1);
    expect(seen()?.notes).toEqual([]);
    expect(other.title).toBe('Six Locks Down');
    leader.press('go-on');
    stage.wait(3000);
    expect(other.where).toBe(leader.where);
  });

  it('takes a song that was asked for into its order', () => {
    const { stage, leader, other } = setRun();
    other.press('band', 'band-request');
    other.type('alder');
    other.press('line-done');
    expect(other.model.notice).toBe('asked for alder');
    stage.wait(20);
    expect(leader.model.band?.requests).toEqual([{ from: 'Bo', title: 'alder' }]);
    expect(leader.notices).toContain('Bo asks for alder; press B for the requests');
    leader.press('band', 'band-take');
    stage.wait(20);
    expect(leader.model.overlay).toMatchObject({ kind: 'requests', library: { query: 'alder' } });
    leader.press('order-jump');
    stage.wait(20);
    leader.press('line-done');
    stage.wait(50);
    expect(leader.model.band?.requests).toEqual([]);
    expect(other.model.band?.band.set?.songs.map(({ title }) => title)).toEqual([
      'Osier Steps',
      'Alder Ford',
      'Six Locks Down',
    ]);
  });

  it('is left behind by somebody who takes the lead with another chart, and goes on with one who leads the same', () => {
    const { stage, leader, other } = setRun();
    other.press('band', 'band-lead');
    stage.wait(1000);
    expect(leader.model.band?.band.set?.songs).toHaveLength(2);
    const own = stage.come({ name: 'Zed' });
    own.elsewhere = true;
    own.put(windingSong);
    own.begin('lead');
    stage.wait(2000);
    for (const stand of [leader, other]) {
      expect(stand.title).toBe('Six Locks Down');
      expect(stand.model.band?.band.set?.songs).toEqual([]);
    }
  });

  it('shares no order any more when it is left', () => {
    const { stage, leader, other } = setRun();
    leader.put(plainSong);
    stage.wait(300);
    expect(other.model.band?.band.set?.songs).toEqual([]);
  });
});

describe('who is turned away', () => {
  it('is asked about once, and goes on alone with what is on the stand', () => {
    const { stage, leader, one, two } = playing();
    const rows = () => (leader.model.band ? bandRows(leader.model.band) : []);
    const at = rows().findIndex((row) => row.kind === 'stand' && row.member.name === 'Bo2');
    leader.press('band', ...Array.from({ length: at }, () => 'band-on' as const), 'band-out');
    expect(leader.model.notice).toBe('x again turns Bo2 away');
    expect(leader.done('turn-away')).toEqual([]);
    leader.press('band-back', 'band-on', 'band-out');
    expect(leader.done('turn-away')).toEqual([]);
    leader.press('band-out');
    expect(leader.done('turn-away')).toEqual([{ kind: 'turn-away', id: two.id }]);
    stage.wait(200);
    expect(two.model.band).toBeNull();
    expect(two.done('leave-band').length).toBe(1);
    expect(two.model.mode.kind).toBe('chart');
    expect(two.title).toBe('Osier Steps');
    expect(two.model.notice).toContain('turned this stand away');
    expect(two.model.session.link.state).toBe('paused');
    two.press('play');
    stage.wait(4000);
    expect(two.where).toMatch(/^music/);
    expect(one.where).toBe(leader.where);
    expect(one.model.band?.band.members.has(two.id)).toBe(false);
  });
});

describe('whoever carries the broker and does not lead', () => {
  function carrying() {
    const made = playing();
    const { stage, leader, one } = made;
    one.press('band', 'band-lead');
    stage.wait(1000);
    expect(leader.model.mode.kind).toBe('follow');
    return made;
  }

  it('turns away the leader; that stand is told so once and goes on alone', () => {
    const { stage, leader, one, two } = carrying();
    leader.press('band');
    const at = bandRows(leader.model.band as BandView).findIndex(
      (row) => row.kind === 'stand' && row.member.id === one.id,
    );
    leader.press(...Array.from({ length: at }, () => 'band-on' as const), 'band-out', 'band-out');
    expect(leader.done('turn-away')).toEqual([{ kind: 'turn-away', id: one.id }]);
    // What the broker does: the connection ends, and the next one is not let in.
    stage.room.disconnect(one);
    one.hear({ kind: 'refused', reason: 'this stand was turned away by whoever runs the broker' });
    stage.wait(500);
    expect(one.model.band).toBeNull();
    expect(one.model.mode.kind).toBe('chart');
    expect(one.model.notice).toBe(
      'this stand was turned away by whoever runs the broker: it plays alone now',
    );
    expect(two.model.notice).toContain('nobody leads');
    leader.press('band-lead');
    stage.wait(1000);
    expect(two.notices.at(-1)).toContain('Ansa leads');
  });

  it('is the only one who may: another follower has nobody to choose', () => {
    const { two } = carrying();
    expect(bandRows({ ...(two.model.band as BandView), place: null })).toEqual([]);
  });

  it('chooses nothing that was asked of the leader', () => {
    const { leader } = carrying();
    const view = { ...(leader.model.band as BandView), requests: [{ from: 'Bo', title: 'any' }] };
    expect(bandRows(view).map(({ kind }) => kind)).toEqual(['stand', 'stand']);
  });
});

describe('the list of those who are there', () => {
  it('has Student 2 before Student 10', () => {
    const { leader } = playing();
    const view = leader.model.band as BandView;
    const members = new Map(
      ['Student 10', 'Student 2', 'Student 1'].map((name) => [
        name,
        { id: name, name, part: 'guitar' as const },
      ]),
    );
    const rows = bandRows({ ...view, band: { ...view.band, members } });
    expect(rows.map((row) => row.kind === 'stand' && row.member.name)).toEqual([
      'Student 1',
      'Student 2',
      'Student 10',
    ]);
  });
});

describe('keys of a part', () => {
  it('say that a guitar has no shapes to choose, and open them for a mandolin', () => {
    const stage = new BandStage(23);
    const { other } = stage.band(plainSong);
    other.press('choose-shape');
    expect(other.model.overlay).toBeNull();
    expect(other.model.notice).toBe('this stand shows a guitar’s part, which has no shapes');
    const mandolin = stage.come({ name: 'Cy' });
    mandolin.begin('join');
    stage.wait(1500);
    mandolin.press('choose-shape');
    expect(mandolin.model.overlay?.kind).toBe('shapes');
  });
});

describe('a class', () => {
  it('brings each student’s pass back to the teacher, the newest of each, and to nobody else', () => {
    const { stage, leader, one, two } = playing({ isClass: true });
    expect(one.notices.at(-1)).toBe('Ansa leads, and is told how your passes were; silent here: o for sound');
    one.press('mark-clean');
    two.press('mark-miss');
    stage.wait(20);
    const results = () =>
      [...(leader.model.band?.results.values() ?? [])].sort((a, b) => a.from.localeCompare(b.from));
    expect(results()).toEqual([
      { from: 'Bo1', pass: 1, line: 'Osier Steps, 120: clean, as the student says' },
      { from: 'Bo2', pass: 1, line: 'Osier Steps, 120: missed, as the student says' },
    ]);
    stage.wait(17_000);
    one.press('mark-miss');
    stage.wait(20);
    expect(results()[0]).toMatchObject({ from: 'Bo1', pass: 2, line: expect.stringContaining('missed') });
    for (const stand of [one, two]) expect(stand.model.band?.results.size).toBe(0);
  });

  it('hears of what a student’s ear heard', () => {
    const { stage, leader, one } = playing({ isClass: true });
    one.press('listen');
    one.dispatch({
      kind: 'ear',
      at: one.at,
      message: { kind: 'opened', name: 'a microphone', rate: 48_000, by: 'a test' },
    });
    stage.wait(15_000);
    const began = one.model.mode.kind === 'follow' ? (one.model.mode.stand.pending?.began ?? null) : null;
    expect(began).not.toBeNull();
    one.dispatch(told('not clean', began, one.at));
    stage.wait(20);
    const results = [...(leader.model.band?.results.values() ?? [])];
    expect(results).toEqual([
      { from: 'Bo1', pass: 1, line: expect.stringMatching(/^Osier Steps, 120: not clean; ./) },
    ]);
    expect(one.done('record')).toEqual([]);
    stage.wait(9000);
    expect(one.done('record')[0]).toMatchObject({
      result: 'miss',
      record: { title: 'Osier Steps', file: null },
    });
  });

  it('is none where the leader does not say so: nothing goes back', () => {
    const { stage, leader, one } = playing();
    const before = one.done('band-publish').flatMap(({ publishes }) => publishes);
    one.press('mark-clean');
    stage.wait(20);
    const after = one.done('band-publish').flatMap(({ publishes }) => publishes);
    expect(after.slice(before.length).filter(({ topic }) => topic[0] === 'result')).toEqual([]);
    expect(leader.model.band?.results.size).toBe(0);
  });
});
