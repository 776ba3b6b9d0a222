import { describe, expect, it } from 'vitest';
import { type Band, type BandStep, newBand, quiet, steps } from '../../src/band/band.js';
import { bandHeard } from '../../src/band/hear.js';
import { lead } from '../../src/band/say.js';
import { together } from '../../src/band/together.js';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { heard } from '../../src/playback/heard.js';
import { readyAt } from '../../src/playback/performance.js';
import { firstSession, type Session, unmoved } from '../../src/playback/session.js';
import { setupOf } from '../../src/playback/setup.js';
import { usualStart } from '../ui/model.js';
import { plainSong, windingSong } from './songs.js';

function chartOf(text: string): Chart {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error('the sample chart does not read');
  return read.value;
}

function put(session: Session, chart: Chart): Session {
  const setup = setupOf(chart, {
    ...usualStart,
    key: chart.key,
    bpm: chart.tempo.bpm,
    countIn: 1,
    passes: null,
    range: null,
    from: 0,
    instrument: mandolin,
    plan: {},
  });
  return { ...session, performance: readyAt(setup, 0) };
}

const on = (text: string): Session => put(firstSession, chartOf(text));
const up = (band: Band, id: string, at: number): BandStep => bandHeard(band, { kind: 'up', id }, at);

/** All that a leader tells when it begins, as somebody hears it. */
function told(band: Band, session: Session, at: number) {
  const began = steps(up(band, 'a1', at), (now) => lead(now, at));
  const step = together(began, unmoved(session), at, put);
  return { ...step, heard: step.publishes.map(({ topic, payload }) => ({ topic, payload, at })) };
}

describe('a step of band and session together', () => {
  it('has a leader tell its song and place in the step in which it begins to lead', () => {
    const step = told(newBand({ name: 'Ansa', part: 'mandolin' }), on(plainSong), 10);
    expect(step.publishes.map(({ topic }) => topic.join('/'))).toEqual([
      'who/a1',
      'lead/a1/claim',
      'lead/a1/song',
      'lead/a1/now',
    ]);
    expect(step.played.commands.map(({ kind }) => kind)).toEqual(['levels', 'arrange']);
  });

  it('silences what a follower plays, puts the very chart that came, and asks for its plan', () => {
    const messages = told(newBand({ name: 'Ansa', part: 'mandolin' }), on(plainSong), 10).heard;
    const joins = up(newBand({ name: 'Bert', part: 'bass' }), 'b1', 20);
    const running = heard(on(windingSong), { kind: 'state', state: 'running', tick: 0 }, 20).session;
    const step = together(
      messages.reduce<BandStep>(
        (before, message) => steps(before, (band) => bandHeard(band, { kind: 'message', ...message }, 20)),
        quiet(joins.band),
      ),
      unmoved(running),
      20,
      put,
    );
    const chart = step.band.song?.chart;
    expect(chart?.title).toBe(chartOf(plainSong).title);
    expect(step.played.session.performance?.setup.chart).toBe(chart);
    expect(step.played.commands[0]).toEqual({ kind: 'tell', message: { kind: 'pause' } });
    expect(step.played.commands.find(({ kind }) => kind === 'arrange')).toMatchObject({ chart });
  });
});
