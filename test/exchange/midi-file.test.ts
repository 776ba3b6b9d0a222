import { parseMidi } from 'midi-file';
import MidiFile from 'midifile';
import { describe, expect, it } from 'vitest';
import { midiFile } from '../../src/exchange/midi-file.js';
import { arrange } from '../../src/time/arrange.js';
import { begin, feed, type Take } from '../../src/time/conductor.js';
import { eventSize } from '../../src/time/event.js';
import { usualMix } from '../../src/time/sound.js';
import { demoChart, keyOf, mandolin } from '../ui/model.js';

const all = { ...usualMix, on: { click: true, bass: true, low: true, chop: true, lead: true } };

function song(name: string, changes: { key?: string; passes?: number; countIn?: number; bpm?: number } = {}) {
  const chart = demoChart(name);
  const share = (changes.bpm ?? chart.tempo.bpm) / chart.tempo.bpm;
  const key = changes.key === undefined ? chart.key : keyOf(changes.key);
  const arrangement = arrange(chart, { key, share, instrument: mandolin });
  const take: Take = {
    score: arrangement.score,
    ...(arrangement.final ? { finalScore: arrangement.final.score } : {}),
    passes: changes.passes ?? 1,
    share,
    countIn: changes.countIn ?? 1,
  };
  return { chart, arrangement, take };
}

/** Every note the player is sent, with its tick from the start. */
function sent(take: Take): { tick: number; status: number; note: number }[] {
  let { conductor, segments } = begin(take, 0, 0);
  const list = [...segments];
  while (conductor.next !== null) {
    const fed = feed(conductor, conductor.next.tick);
    conductor = fed.conductor;
    list.push(...fed.segments);
  }
  return list
    .flatMap(({ startTick, skip, events }) =>
      Array.from({ length: events.length / eventSize }, (_, index) => {
        const message = events[index * eventSize + 2] as number;
        return {
          tick: Math.max(0, startTick - skip + (events[index * eventSize] as number)),
          status: message & 0xff,
          note: (message >> 8) & 0x7f,
        };
      }),
    )
    .sort(byTime);
}

const byTime = (one: { tick: number; status: number; note: number }, other: typeof one): number =>
  one.tick - other.tick || one.status - other.status || one.note - other.note;

/** Events with absolute ticks, as one library reads them. */
function timed(bytes: Uint8Array) {
  const { header, tracks } = parseMidi(bytes);
  return {
    header,
    tracks: tracks.map((track) => {
      let tick = 0;
      return track.map((event) => {
        tick += event.deltaTime;
        return { tick, event };
      });
    }),
  };
}

describe('midiFile', () => {
  it.each([
    ['sluice-gate-morning', { passes: 2 }],
    ['tollhouse-kettle', { key: 'A', bpm: 150 }],
    ['copperwort-lane', { countIn: 0 }],
    ['nine-barges-late', {}],
    ['lockkeepers-candle', { key: 'Em' }],
  ] as const)('of %s has the very notes that the player is sent', (name, changes) => {
    const { chart, arrangement, take } = song(name, changes);
    const bytes = midiFile({ chart, arrangement, take, mix: all });
    const { header, tracks } = timed(bytes);
    expect(header).toMatchObject({ format: 1, numTracks: 6, ticksPerBeat: 960 });
    const ons = tracks
      .flat()
      .flatMap(({ tick, event }) =>
        event.type === 'noteOn' ? [{ tick, status: 0x90 | event.channel, note: event.noteNumber }] : [],
      )
      .sort(byTime);
    expect(ons).toEqual(sent(take));
  });

  it('is read alike by a second library, and every note has its end', () => {
    const { chart, arrangement, take } = song('third-lantern-down');
    const bytes = midiFile({ chart, arrangement, take, mix: all });
    const read = new MidiFile(bytes).getMidiEvents();
    const count = (subtype: number): number => read.filter((event) => event.subtype === subtype).length;
    const own = timed(bytes).tracks.flat();
    expect(count(0x9)).toBe(own.filter(({ event }) => event.type === 'noteOn').length);
    expect(count(0x8)).toBe(count(0x9));
    // Bass, low notes and chops have a program each, and the tune has another one whenever somebody else leads.
    expect(count(0xc)).toBe(5);
    const sounding = new Map<string, number>();
    for (const { event } of own.sort((one, other) => one.tick - other.tick)) {
      if (event.type !== 'noteOn' && event.type !== 'noteOff') continue;
      const key = `${event.channel} ${event.noteNumber}`;
      sounding.set(key, (sounding.get(key) ?? 0) + (event.type === 'noteOn' ? 1 : -1));
      expect(sounding.get(key)).toBeLessThanOrEqual(1);
    }
    expect([...sounding.values()].every((left) => left === 0)).toBe(true);
  });

  it('has tempo, meter and key as the standard writes them', () => {
    // MMA RP-001: 120 is FF 51 03 07 A1 20; 4/4 FF 58 04 04 02 18 08; 6/8 with a click a dotted quarter FF 58 04 06 03 24 08;
    // E flat FF 59 02 FD 00; A minor FF 59 02 00 01.
    const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');
    const { chart, arrangement, take } = song('half-a-mile-of-fog', { key: 'Eb', bpm: 120 });
    const text = hex(midiFile({ chart, arrangement, take, mix: all }));
    expect(text).toContain('ff510307a120');
    expect(text).toContain('ff580404021808');
    expect(text).toContain('ff5902fd00');
    const minor = song('lockkeepers-candle', { bpm: 260 });
    const own = hex(midiFile({ ...minor, mix: all }));
    // 260 a minute is 230 769 microseconds a quarter.
    expect(own).toContain(`ff5103${(230_769).toString(16).padStart(6, '0')}`);
    expect(own).toContain('ff59020001');
    expect(own.startsWith('4d546864000000060001000603c04d54726b')).toBe(true);
    expect(own.split('ff2f00')).toHaveLength(7);
  });

  it('has sections as markers, chords and cues as text, where they are played', () => {
    const { chart, arrangement, take } = song('weir-hands', { key: 'A', bpm: 240 });
    const [first = []] = timed(midiFile({ chart, arrangement, take, mix: all })).tracks;
    const markers = first.flatMap(({ tick, event }) => (event.type === 'marker' ? [[tick, event.text]] : []));
    expect(markers.slice(0, 3)).toEqual([
      [3840, 'kickoff (banjo)'],
      [5 * 3840, 'V'],
      [13 * 3840, 'break (fiddle)'],
    ]);
    const chords = first.flatMap(({ event }) => (event.type === 'text' ? [event.text] : []));
    expect(chords.slice(0, 12).join(' ')).toBe('A A E A A A D D A A E A');
  });

  it('has only what is to sound, as loud as is said', () => {
    const { chart, arrangement, take } = song('weir-hands');
    const quiet = {
      ...usualMix,
      levels: { ...usualMix.levels, click: 50 },
      on: { ...usualMix.on, bass: false },
    };
    const { tracks } = timed(midiFile({ chart, arrangement, take, mix: quiet }));
    expect(tracks).toHaveLength(3);
    const loudest = Math.max(
      ...(tracks[1] ?? []).map(({ event }) => (event.type === 'noteOn' ? event.velocity : 0)),
    );
    expect(loudest).toBe(48);
  });
});

describe('the standard’s own example', () => {
  // MMA RP-001, appendix: 81 bytes, format 0, division 96; events at ticks 0 (seven times), 96, 192 and 384 (five times).
  const example =
    '4D546864000000060000000100604D54726B0000003B00FF58040402180800FF510307A12000C00500C12E00C24600923060003C606091434060904C208140823040003C4000814340008' +
    '04C4000FF2F00';

  it('is read by the library with which files are written, as it is meant', () => {
    const bytes = Buffer.from(example, 'hex');
    expect(bytes).toHaveLength(81);
    const { header, tracks } = timed(bytes);
    expect(header).toMatchObject({ format: 0, ticksPerBeat: 96 });
    expect(tracks[0]?.map(({ tick }) => tick)).toEqual([
      0, 0, 0, 0, 0, 0, 0, 96, 192, 384, 384, 384, 384, 384,
    ]);
  });
});
