import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isSafe } from '../../../src/base/safe-text.js';
import { clickChart } from '../../../src/chart/click-chart.js';
import { songFacts } from '../../../src/chart/find/song-facts.js';
import { arrange } from '../../../src/time/arrange.js';
import type { LibraryItem } from '../../../src/ui/state/library.js';
import type { Effect, Message } from '../../../src/ui/state/messages.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import { readLine, words } from '../../../src/ui/typed/language.js';
import { obey } from '../../../src/ui/typed/obey.js';
import { toldOfChange } from '../../../src/ui/typed/told.js';
import { update } from '../../../src/ui/update/update.js';
import { chart, chartOf } from '../../chart/written.js';
import { having, mandolin, running, standing, usualStart } from '../model.js';

/** A stand that obeys typed lines; what it asks of files comes to nothing. */
class Stand {
  readonly effects: Effect[] = [];
  /** Whether plans of the hand come after what asked for them, as the program makes them. */
  plansLater = false;
  /** What happens before a command is finished, after the plans. */
  meanwhile = (): void => {};
  private readonly looks = new Set<() => void>();

  constructor(public model: Model) {}

  readonly dispatch = (message: Message): void => {
    const done = this.plansLater ? update(this.model, message) : having(this.model, message);
    this.model = done.model;
    this.effects.push(...done.effects);
    for (const look of this.looks) look();
  };

  private goesOn(): void {
    const asked = this.plansLater ? this.effects.filter((effect) => effect.kind === 'arrange') : [];
    for (const { id, chart: planned, options } of asked)
      this.dispatch({ kind: 'arranged', id, arrangement: arrange(planned, options), at: 1000 });
    this.meanwhile();
  }

  async types(line: string, at = 1000): Promise<readonly string[]> {
    const { lines } = await obey(readLine(line, { empty: 'where' }), at, {
      model: () => this.model,
      dispatch: this.dispatch,
      watch: (look) => {
        this.looks.add(look);
        return () => this.looks.delete(look);
      },
      quiet: async () => this.goesOn(),
      until: async () => {},
      library: () => 'there is no chart here',
    });
    return lines;
  }

  get setup() {
    const { performance } = this.model.session;
    if (!performance) throw new Error('nothing is on the stand');
    return performance.setup;
  }
}

const ropewalk = (): Stand => new Stand(standing('ropewalk-penny'));
/** The same while it plays, in its first bar. */
const playing = (): Stand =>
  new Stand(having(running(standing('ropewalk-penny')).model, { kind: 'clock', at: 4500 }).model);

/** A click without a song, at 120 in 4/4. */
function clicking(): Stand {
  const bar = clickChart({ beats: 4, unit: 4 }, 120);
  const start = { ...usualStart, key: bar.key, bpm: 120, countIn: 0 };
  const more = { passes: null, range: null, from: 0, instrument: mandolin, plan: {} };
  const opened = { kind: 'chart-opened', file: '', chart: bar, source: '', click: true } as const;
  return new Stand(having(standing('ropewalk-penny'), { ...opened, start: { ...start, ...more } }).model);
}

/** A list of songs by these titles, each in A. */
function listing(...titles: readonly string[]): Stand {
  const items = titles.map((title): LibraryItem => {
    const facts = songFacts(chart(chartOf('1 4')));
    return {
      file: `/charts/${title}.yaml`,
      kind: 'chart',
      title,
      detail: 'A',
      wishes: { key: null, bpm: null },
      facts: { ...facts, title },
    };
  });
  const library = { title: 'Charts', items, index: 0, from: null, query: '' };
  return new Stand(
    having(firstModel({ colour: false, unicode: true }, 80, 24), { kind: 'library', library }).model,
  );
}

describe('what is typed on the stand', () => {
  it.each([
    ['tempo 180', 'tempo 180 quarters a minute, 136 percent of the chart’s'],
    ['tempo 80 %', 'tempo 106 quarters a minute, 80 percent of the chart’s'],
    ['tempo 9000 %', 'from 16 to 303 percent here'],
    ['faster', 'tempo 137 quarters a minute, 104 percent of the chart’s'],
    ['key', 'key A'],
    ['key D', 'key D: from the four-finger to the three-finger family'],
    ['key b flat', 'key B flat: the four-finger family stays, 1 fret toward the bridge'],
    ['key A', 'key A, as it was'],
    ['key H', 'there is no key of that name; key D, key B flat and key F sharp minor are some'],
    ['key F#m', 'this chart is in major; it cannot be played in a minor key'],
    ['loop', 'no loop; loop 5-8 makes one'],
    ['loop 5-8', 'loop: bars 5 to 8, until loop off'],
    ['loop 3', 'loop: bar 3, until loop off'],
    ['loop 8-5', 'there are bars 1 to 68: loop 5-8'],
    ['loop nowhere', 'no section begins with “nowhere”; loop 5-8 names bars'],
    ['loop hardest', 'loop: bars 8 to 9, until loop off'],
    ['loop off', 'there is no loop'],
    ['go 500', 'there are bars 1 to 68'],
    ['end', 'it ends with this pass'],
    ['passes 3', '3 passes in all'],
    ['passes endless', 'it goes on without end'],
    ['count-in 2', '2 bars of count-in'],
    ['voice bass off', 'bass off, 100 percent'],
    ['voice click 60 %', 'click on, 60 percent'],
    ['voice chop alone', 'chop alone, 100 percent'],
    ['melody all', 'the tune in every part'],
    ['click backbeat', 'click backbeat: only where the chops fall'],
    ['click 3-1', 'click every: every beat, the first accented; 3 bars with it, 1 without'],
    ['pattern shuffle', 'pattern shuffle: down on the beat, up on its last third'],
    ['show numbers', 'only numbers are announced'],
    ['hand off', 'the hand is hidden: frets and motions are not announced'],
    ['undo', 'nothing was chosen here that could be taken back'],
    ['undo writing', 'no bar was written here, so there is nothing to undo'],
    ['bar 900 1', 'this bar cannot be written here; edit the file'],
    ['pause', 'nothing plays'],
    ['hold', 'that is for music that plays: play first'],
    ['go on', 'nothing waits'],
    ['order', 'order does nothing here (a chart on the stand)'],
    ['chord 4', 'chord 4 does nothing here (a chart on the stand)'],
    ['lead', 'no band can be met from here'],
    ['list', 'there is no chart here'],
    ['open weir', 'there is no chart here'],
    ['yes', 'no pass is over, and none is played'],
  ])('%s', async (line, wanted) => {
    const [answer] = await ropewalk().types(line);
    expect(answer).toBe(wanted);
  });

  it('does what it says', async () => {
    const stand = ropewalk();
    for (const line of ['tempo 60 %', 'key D', 'loop 5-8', 'count-in 0', 'voice low on'])
      await stand.types(line);
    expect(stand.setup.bpm).toBe(79);
    expect(stand.setup.key).toEqual({ tonic: 'D', mode: 'major' });
    expect(stand.setup.range).toEqual({ from: 4, to: 8 });
    expect(stand.setup.passes).toBe(null);
    expect(stand.setup.countIn).toBe(0);
    expect(stand.setup.mix.on.low).toBe(true);
    await stand.types('loop off');
    expect([stand.setup.range, stand.setup.passes]).toEqual([null, 1]);
  });

  it('plays once, pauses once, and changes the key while it plays', async () => {
    const stand = playing();
    expect(await stand.types('play')).toEqual(['it plays already']);
    expect(stand.effects.some(({ kind }) => kind === 'tell')).toBe(false);
    await stand.types('key D');
    expect(stand.effects.some(({ kind }) => kind === 'replace')).toBe(true);
    expect(await stand.types('pause')).toEqual(['paused at bar 1']);
    expect(stand.effects).toContainEqual({ kind: 'tell', message: { kind: 'pause' } });
  });

  it('says what a key does to the hand also where the music begins as soon as the plan is made', async () => {
    const stand = ropewalk();
    stand.plansLater = true;
    stand.meanwhile = () => stand.dispatch({ kind: 'action', action: 'play', at: 1000 });
    expect(await stand.types('key D')).toEqual(['key D: from the four-finger to the three-finger family']);
    expect(stand.model.notice).toBe('');
  });

  it('says where the music is, and the motion that reaches what comes', async () => {
    const [where] = await ropewalk().types('');
    expect(where).toBe(
      'Ropewalk Penny, not playing: bar 1 of 68, V: 1, A, frets 9 7 4 5; in 8 beats 4, D, frets 7 4 5 x, same frets, one course to the bass side, little lifts',
    );
    const stand = ropewalk();
    for (const line of ['hand off', 'ahead off', 'show chords']) await stand.types(line);
    expect(await stand.types('where')).toEqual(['Ropewalk Penny, not playing: bar 1 of 68, V: A']);
  });

  it('writes a bar without going there, and takes it back', async () => {
    const stand = ropewalk();
    const [answer] = await stand.types('bar 3 2-');
    expect(answer).toBe('bar 3 is written');
    expect(stand.effects.map(({ kind }) => kind)).toContain('write');
    expect(stand.model.session.performance?.cursor.bar).toBe(0);
    const [fault] = await stand.types('bar 3 (1 4');
    expect(fault).toMatch(/^.{10,}$/);
    await stand.types('undo writing');
    expect(await stand.types('bar 3')).toEqual([expect.stringMatching(/^bar 3 of 68, V: 4, D/)]);
  });

  it('takes back what was chosen, the last first', async () => {
    const stand = ropewalk();
    for (const line of ['key D', 'tempo 60 %', 'loop 5-8']) await stand.types(line);
    await stand.types('undo');
    expect([stand.setup.range, stand.setup.bpm]).toEqual([null, 79]);
    expect(await stand.types('undo')).toEqual([expect.stringContaining('tempo back to 132')]);
    expect(await stand.types('undo')).toEqual([expect.stringContaining('key back to A')]);
    expect([stand.setup.bpm, stand.setup.key]).toEqual([132, { tonic: 'A', mode: 'major' }]);
  });

  it('gives a click another tempo and meter, and takes them back; a click has no share', async () => {
    const stand = clicking();
    expect(await stand.types('tempo 200')).toEqual(['tempo 200 quarters a minute']);
    expect(await stand.types('tempo 80 %')).toEqual([expect.stringContaining('a click has no chart')]);
    expect(await stand.types('click meter 3/4')).toEqual(['meter 3/4']);
    expect(await stand.types('undo')).toEqual(['meter back to 4/4']);
    expect(await stand.types('undo')).toEqual(['tempo back to 120, from 200']);
    expect(await stand.types('loop 1-2')).toEqual(['loop does nothing here (a click without a song)']);
  });

  it('keeps the numbers of a list that is sorted, and opens by them', async () => {
    const stand = listing('Weir', 'Alder', 'Mill');
    expect(await stand.types('sort title')).toEqual(['sorted by: title; each keeps its number']);
    expect(await stand.types('list')).toEqual(['Charts, 3:', '2 Alder, A', '3 Mill, A', '1 Weir, A']);
    await stand.types('open 1');
    expect(stand.effects).toContainEqual(
      expect.objectContaining({ kind: 'open', file: '/charts/Weir.yaml' }),
    );
    expect(await stand.types('sort tempi')).toEqual(['sort: “tempi” is not an order; did you mean “tempo”?']);
    expect(await stand.types('sort Key')).toEqual(['sorted by: key; each keeps its number']);
  });

  it('says signs as words in what it takes back', async () => {
    const stand = ropewalk();
    for (const line of ['key b flat', 'key f sharp']) await stand.types(line);
    expect(await stand.types('undo')).toEqual([expect.stringMatching(/^key back to B flat, from F sharp/)]);
  });

  it('tells drills, begins one, and says how a pass was', async () => {
    const stand = ropewalk();
    const list = await stand.types('drill');
    expect(list.length).toBeGreaterThan(10);
    expect(list[0]).toMatch(/^\d+ drills; /);
    expect(await stand.types('drill pairs')).toEqual([
      expect.stringMatching(/^pairs of Ropewalk Penny: .+; play begins$/),
    ]);
    expect(stand.model.mode.kind).toBe('drill');
    expect(await stand.types('drill 99')).toEqual(['there is no drill “99”; drill lists what there is']);
    await stand.types('leave');
    expect(stand.model.mode.kind).toBe('chart');
  });

  it('leaves nothing in front, whatever was typed', async () => {
    const commands = words.flatMap(({ name, takes }) => [
      name,
      ...(takes ? takes.split(/,? or |, /).map((one) => `${name} ${one}`) : []),
    ]);
    await fc.assert(
      fc.asyncProperty(
        fc.boolean(),
        fc.array(fc.oneof(fc.constantFrom(...commands), fc.string({ maxLength: 20 })), { maxLength: 12 }),
        async (plays, lines) => {
          const stand = plays ? playing() : ropewalk();
          for (const line of lines) {
            const answer = await stand.types(line);
            expect(answer.length).toBeGreaterThan(0);
            for (const one of answer) {
              expect(isSafe(one)).toBe(true);
              expect(one).not.toBe('');
              expect(one).not.toContain('\n');
            }
          }
          const { overlay } = stand.model;
          expect(overlay === null || ['pedals', 'tuning'].includes(overlay.kind)).toBe(true);
        },
      ),
      { numRuns: 60 },
    );
  }, 60_000);
});

describe('what is told by itself', () => {
  const before = running(standing('ropewalk-penny')).model;
  // A count-in of four seconds, and bars of four: the third has another chord than the second.
  const at = (ms: number): Model => having(before, { kind: 'clock', at: ms }).model;

  it('tells each bar, only changes, or nothing', () => {
    const first = toldOfChange(before, at(4500), 'everything', false);
    expect(first.bar).toBe('pass 1 bar 1 V: 1, A, frets 9 7 4 5, same shape');
    expect(toldOfChange(at(4500), at(8500), 'everything', false).bar).toBe('pass 1 bar 2 V: 1, A');
    expect(toldOfChange(at(4500), at(8500), 'changes', false).bar).toBe('');
    expect(toldOfChange(at(8500), at(12500), 'changes', false).bar).toContain(
      'pass 1 bar 3 V: 4, D, frets 7 4 5 x, same frets',
    );
    expect(toldOfChange(at(8500), at(12500), 'nothing', false).bar).toBe('');
  });

  it('keeps what a command has said to its answer', () => {
    const noticed = { ...before, notice: 'no tempo' };
    expect(toldOfChange(before, noticed, 'everything', false).remarks).toEqual(['no tempo']);
    expect(toldOfChange(before, noticed, 'everything', true).remarks).toEqual([]);
  });
});
