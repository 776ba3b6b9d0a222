import { describe, expect, it, vi } from 'vitest';
import { noneFound } from '../../../src/link/discover.js';
import { waitingLines } from '../../../src/ui/draw/band/waiting.js';
import { plainText } from '../../../src/ui/draw/line.js';
import { Runtime } from '../../../src/ui/runtime.js';
import { drawnAlike } from '../../../src/ui/state/drawn-alike.js';
import { joinCommands } from '../../../src/ui/state/join-words.js';
import { dueAt } from '../../../src/ui/state/schedule.js';
import { plainSong, windingSong } from '../../band/songs.js';
import { BandStage } from '../band-stage.js';
import { having, standing } from '../model.js';

describe('a stand that plays alone', () => {
  it('has nothing to do with a band: no effect, no due time, no other model', () => {
    const model = standing('weir-hands');
    expect(dueAt(model)).toBeNull();
    const meeting = { kind: 'up', id: 'a' } as const;
    const heard = having(model, { kind: 'meeting', event: meeting, at: 5 });
    expect(heard.model).toBe(model);
    expect(heard.effects).toEqual([]);
  });

  it('says so where no band can be met', () => {
    const { model } = having(standing('weir-hands'), { kind: 'action', action: 'band', at: 0 });
    expect(model.overlay).toBeNull();
    expect(model.notice).toBe('a band cannot be joined from here');
  });

  it('is led by nothing in the overlay but the key that leads', () => {
    const stage = new BandStage(41);
    const stand = stage.come();
    stand.put(plainSong);
    stand.press('band', 'call-once-more', 'band-leave', 'band-request', 'band-out', 'band-take');
    expect(stand.model.band).toBeNull();
    expect(stand.done('meet')).toEqual([]);
    expect(stand.model.notice).toBe('you play alone: l leads a band');
    stand.press('band-lead');
    expect(stand.done('meet')).toEqual([{ kind: 'meet', begins: 'lead' }]);
  });
});

describe('a stand that is not let in at all', () => {
  it('says so, looks for nothing any more, and cannot lead there', () => {
    const stage = new BandStage(44);
    const stand = stage.come();
    stand.begin('join');
    stand.hear({ kind: 'refused', reason: 'the stage does not accept this word; ask the leader for it' });
    const shown = waitingLines(stand.model).map(plainText).join('\n');
    expect(shown).toContain('This stand cannot join the band; Esc leaves.');
    expect(shown).toContain('does not accept this word');
    expect(shown).not.toContain('looked for');
    stand.press('band', 'band-lead');
    expect(stand.model.notice).toBe('this stand cannot join the band; o leaves it');
    expect(stand.model.band?.wantsLead).toBe(false);
  });
});

describe('a stand that finds nobody', () => {
  it('is told to the end what to do, on a narrow terminal too', () => {
    const stage = new BandStage(46);
    const stand = stage.come();
    stand.begin('join');
    stand.hear({ kind: 'notice', sentence: noneFound('0a1b2') });
    const lines = waitingLines({ ...stand.model, size: { columns: 60, rows: 18 } });
    expect(lines).toHaveLength(17);
    const shown = lines.map((line) => plainText(line).trim()).join(' ');
    expect(shown).toContain('start the leader');
    expect(shown).toContain('join mqtt://HOST:PORT');
  });
});

describe('the sentence of somebody who begins to lead', () => {
  it('has what others type: a word of several words in one piece, and the address of a broker elsewhere', () => {
    const place = { word: 'Two Words here', address: 'mqtt://10.0.0.9:1883', carried: true };
    expect(joinCommands(place)).toEqual({
      byWord: 'barkline join Two-Words-here',
      byAddress: 'barkline join mqtt://10.0.0.9:1883 --word Two-Words-here',
    });
    const stage = new BandStage(45);
    const stand = stage.come();
    stand.put(plainSong);
    stand.elsewhere = true;
    stand.begin('lead');
    stage.wait(2000);
    expect(stand.notices).toContain('you lead; the others type: barkline join 10.0.0.2 --word otter-lamp');
  });
});

describe('what is drawn', () => {
  it('is not drawn again for what is only counted and measured', () => {
    const stage = new BandStage(42);
    const { leader, other } = stage.band(plainSong);
    const calls = vi.fn();
    other.runtime.subscribe(calls);
    const before = other.model;
    stage.wait(7000);
    // The clock was asked meanwhile.
    const asked = other.done('band-publish').flatMap(({ publishes }) => publishes);
    expect(asked.length).toBeGreaterThan(3);
    expect(other.model).not.toBe(before);
    expect(drawnAlike({ ...before, at: other.model.at }, other.model)).toBe(true);
    // Only where it was looked at the time.
    expect(calls.mock.calls.length).toBeLessThan(asked.length);
    leader.press('band', 'call-softer');
    stage.wait(20);
    expect(drawnAlike(before, other.model)).toBe(false);
  });

  it('is drawn again for all that is seen of a band', () => {
    const stage = new BandStage(43);
    const { other } = stage.band(plainSong);
    const { model } = other;
    const { band: view } = model;
    if (!view) throw new Error('no band');
    const { band } = view;
    for (const changed of [
      { ...view, trouble: 'gone' },
      { ...view, says: 'Cy has joined' },
      { ...view, requests: [{ from: 'Cy', title: 'x' }] },
      { ...view, band: { ...band, members: new Map() } },
      { ...view, band: { ...band, notes: ['x'] } },
      { ...view, band: { ...band, up: false } },
      { ...view, band: { ...band, set: { title: 'x', songs: [], at: null } } },
    ])
      expect(drawnAlike(model, { ...model, band: changed })).toBe(false);
    for (const same of [
      { ...view, lookedAt: 1 },
      { ...view, band: { ...band, seq: 9, askedAgain: 4 } },
    ])
      expect(drawnAlike(model, { ...model, band: same })).toBe(true);
    expect(drawnAlike(model, { ...model, notice: 'x' })).toBe(false);
  });
});

describe('a leader at a broker where somebody led before', () => {
  it('leads though the broker keeps an old leader’s claim, and its own chart stays on the stand', () => {
    const stage = new BandStage(44);
    const old = stage.come({ name: 'Old' });
    old.put(windingSong);
    old.begin('lead');
    stage.wait(500);
    for (let count = 0; count < 2; count += 1) {
      old.press('band', 'band-lay-down', 'band-lead', 'back');
      stage.wait(100);
    }
    old.die();
    const leader = stage.come({ name: 'Ansa' });
    leader.put(plainSong);
    leader.elsewhere = true;
    leader.begin('lead');
    stage.wait(1500);
    expect(leader.model.band?.band.claims?.role).toBe('leads');
    expect(leader.model.mode).toMatchObject({ kind: 'chart', text: { file: 'own.yaml' } });
    expect(leader.title).toBe('Osier Steps');
    const other = stage.come({ name: 'Bo' });
    other.begin('join');
    stage.wait(1500);
    expect(other.title).toBe('Osier Steps');
    expect(other.notices).toContain('Ansa leads; silent here: o for sound');
  });

  it('takes the lead from somebody who leads there, and keeps its own chart', () => {
    const stage = new BandStage(45);
    const { leader: before } = stage.band(windingSong);
    const leader = stage.come({ name: 'Cy' });
    leader.put(plainSong);
    leader.elsewhere = true;
    leader.begin('lead');
    stage.wait(2500);
    expect(leader.title).toBe('Osier Steps');
    expect(before.model.mode.kind).toBe('follow');
    expect(before.title).toBe('Osier Steps');
  });
});

describe('the runtime', () => {
  it('does not look at the clock without end where something that is due cannot be done', () => {
    const stage = new BandStage(46);
    const { leader, other } = stage.band(plainSong);
    // Nothing was arranged here, so nothing can be played to the end of a pass.
    other.dispatch({ kind: 'action', action: 'band', at: other.at });
    stage.room.disconnect(other);
    leader.die();
    const looks = vi.spyOn(Runtime.prototype as unknown as { setClock(): void }, 'setClock');
    stage.wait(60_000);
    expect(looks.mock.calls.length).toBeLessThan(400);
    looks.mockRestore();
  });
});
