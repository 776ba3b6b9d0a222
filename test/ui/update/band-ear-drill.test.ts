import { describe, expect, it } from 'vitest';
import { dictationDrill } from '../../../src/shed/dictation/drill.js';
import { startFromDiary } from '../../../src/shed/dictation/from-diary.js';
import { dictationLines } from '../../../src/ui/draw/dictation.js';
import { plainText } from '../../../src/ui/draw/line.js';
import { plainSong } from '../../band/songs.js';
import { BandStage, type BandStand, startsAt } from '../band-stage.js';

/** A sitting whose only thing is a drill by ear comes onto a stand, and its card is passed. */
function drillOn(stand: BandStand): void {
  const drill = dictationDrill(startFromDiary([], 'changes', { seed: 4, now: 0 }));
  stand.dispatch({
    kind: 'sitting',
    items: [
      { kind: 'drill', drill, minutes: 1, why: 'new', task: { kind: 'ear', asks: 'changes', tune: null } },
      { kind: 'rest', seconds: 45, says: 'Rest.' },
    ],
    start: startsAt(drill.chart),
    at: stand.at,
  });
  stand.press('go-on');
}

/** Everything that a stand has said to the band, as text. */
function said(stand: BandStand): string {
  return stand
    .done('band-publish')
    .flatMap(({ publishes }) => publishes.map(({ payload }) => new TextDecoder().decode(payload)))
    .join('\n');
}

describe('a leader who names changes by ear', () => {
  it('plays for themselves: the others keep their song, stand still, and are sent nothing of the phrase', () => {
    const stage = new BandStage(33);
    const { leader, other } = stage.band(plainSong);
    leader.press('play');
    stage.wait(4000);
    expect(other.where).toMatch(/^music/);
    const [title, heard] = [other.title, other.clicks.length];
    drillOn(leader);
    stage.wait(6000);
    expect(leader.title).toBe('changes by ear');
    expect(leader.where).toMatch(/^music/);
    expect(dictationLines(leader.model).map(plainText).join('\n')).toContain('The band does not hear it');
    expect(other.title).toBe(title);
    expect(other.where).toMatch(/^(paused|stopped)$/);
    // A beat may have been on its way.
    expect(other.clicks.length).toBeLessThanOrEqual(heard + 1);
    // To its end, through what is told after it, and over the rest.
    stage.wait(90_000);
    expect(other.title).toBe(title);
    expect(said(leader)).not.toContain('changes by ear');
    expect(said(leader)).not.toContain('phrase');
  });

  it('leads on with the next song', () => {
    const stage = new BandStage(34);
    const { leader, other } = stage.band(plainSong);
    drillOn(leader);
    stage.wait(6000);
    leader.press('back');
    leader.put('title: Next\nkey: A\ntempo: 120\nsections:\n  V: |\n    1 4 5 1\n');
    stage.wait(500);
    leader.press('play');
    stage.wait(4000);
    expect(other.title).toBe('Next');
    expect(other.where).toMatch(/^music/);
    expect(other.where).toBe(leader.where);
  });
});
