import { describe, expect, it } from 'vitest';
import { arranged, settled } from '../../src/playback/arranging.js';
import { readyAt } from '../../src/playback/performance.js';
import {
  firstSession,
  type Played,
  type Session,
  withPerformance,
  withSetup,
} from '../../src/playback/session.js';
import { setupOf } from '../../src/playback/setup.js';
import { arrange } from '../../src/time/arrange.js';
import { demoChart, keyOf, mandolin, usualStart } from '../ui/model.js';

const chart = demoChart('weir-hands');
const setup = setupOf(chart, {
  ...usualStart,
  key: chart.key,
  bpm: 240,
  countIn: 1,
  passes: null,
  range: null,
  from: 0,
  instrument: mandolin,
  plan: {},
});
const fresh: Session = { ...firstSession, performance: readyAt(setup, 0) };
const kinds = ({ commands }: Played) => commands.map(({ kind }) => kind);

/** The session with whatever arrangement it asks for. */
function answered(session: Session): Session {
  const asked = settled(session, 0);
  const command = asked.commands.find(({ kind }) => kind === 'arrange');
  if (command?.kind !== 'arrange') return asked.session;
  return arranged(asked.session, command.id, arrange(command.chart, command.options), 0).session;
}

describe('what a session lacks to be as it is set up', () => {
  it('is levels and an arrangement at first, and is asked for once', () => {
    const first = settled(fresh, 0);
    expect(kinds(first)).toEqual(['levels', 'arrange']);
    expect(settled(first.session, 0)).toEqual({ session: first.session, commands: [], events: [] });
  });

  it.each([
    ['another key', { key: keyOf('D') }, ['arrange']],
    ['another tempo', { bpm: 200 }, ['arrange']],
    ['a voice that is silent', { mix: { ...setup.mix, alone: 'click' as const } }, ['levels']],
    ['another number of passes', { passes: 3 }, []],
    ['another count-in', { countIn: 2 }, []],
  ])('for %s is what that needs', (_, changes, wanted) => {
    expect(kinds(settled(withSetup(answered(fresh), changes), 0))).toEqual(wanted);
  });

  it('is to play, when that was asked for before all was ready', () => {
    const eager = withPerformance(answered(fresh), { eager: true });
    expect(settled(eager, 0).events).toEqual([]);
    const opened: Session = { ...eager, link: { ...eager.link, output: 'silent' } };
    const played = settled(opened, 0);
    expect(played.events).toEqual([{ kind: 'play-sent' }]);
    expect(played.commands.at(-1)).toEqual({ kind: 'tell', message: { kind: 'play', tick: 0 } });
    // An external clock starts the music by itself.
    const following = { label: 'a drummer', state: null, song: 0 };
    expect(settled({ ...opened, link: { ...opened.link, following } }, 0).commands).toEqual([]);
  });

  it('is nothing where nothing is performed', () => {
    expect(settled(firstSession, 0)).toEqual({ session: firstSession, commands: [], events: [] });
  });
});

describe('an arrangement that comes', () => {
  it('is taken only if it is the one that was asked for last', () => {
    const { session } = settled(fresh, 0);
    const made = arrange(chart, { key: chart.key, share: 1, instrument: mandolin });
    expect(arranged(session, 7, made, 0).session.performance?.arrangement).toBeNull();
    expect(arranged(session, 1, made, 0).session.performance?.arrangement).toBe(made);
  });

  it('takes away a loop that lies beyond it', () => {
    const looped = withSetup(fresh, { range: { from: 58, to: 900 } });
    expect(answered(looped).performance?.setup.range).toBeNull();
  });
});
