import { describe, expect, it } from 'vitest';
import { judgeCharts, judgeFolder, judgeSettings } from '../../../src/commands/doctor/judge-files.js';
import {
  type FoundMicrophone,
  type FoundMidi,
  judgeMicrophone,
  judgeMidiIn,
  judgeMidiOut,
  judgeSound,
} from '../../../src/commands/doctor/judge-gear.js';
import { judgeBroker, judgeDiscovery } from '../../../src/commands/doctor/judge-rest.js';
import {
  judgeBackground,
  judgeColours,
  judgeSigns,
  judgeSize,
  type TerminalAnswers,
  type TerminalSigns,
} from '../../../src/commands/doctor/judge-terminal.js';
import { reportJson, reportLines } from '../../../src/commands/doctor/report.js';
import {
  canBeHeard,
  type State,
  statusOf,
  type Trial,
  type Verdict,
  whatAndTodo,
} from '../../../src/commands/doctor/verdict.js';

/*
 * The verdicts, from findings: which state, what is said, and what is to be done.
 */

type Row<T> = readonly [trial: T, state: State, says: RegExp, todo: RegExp | null];

function holds<T>(rows: readonly Row<T>[], judge: (found: T) => Verdict): void {
  it.each(rows)('%j is %s', (found, state, says, todo) => {
    const verdict = judge(found);
    expect(verdict.state).toBe(state);
    expect(verdict.says).toMatch(says);
    if (todo === null) expect(verdict.todo).toBeNull();
    else expect(verdict.todo).toMatch(todo);
    // A line on a screen: neither text brings its own end.
    expect(`${verdict.says}${verdict.todo}`).not.toMatch(/[\n.]$/);
  });
}

const late = { kind: 'late', seconds: 2 } as const;
const died = { kind: 'died', why: 'SIGSEGV' } as const;

describe('the sound', () => {
  holds<Trial<{ click: boolean }>>(
    [
      [{ kind: 'found', found: { click: false } }, 'works', /nothing was played/, /--sound/],
      [{ kind: 'found', found: { click: true } }, 'works', /a click was played/, /volume/],
      [
        { kind: 'failed', why: 'no sound card was found' },
        'fails',
        /^no sound card was found$/,
        /connect .*midi:1/,
      ],
      [
        { kind: 'failed', why: 'the card takes no sound; another program may hold it' },
        'fails',
        /^the card takes no sound$/,
        /^another program may hold it$/,
      ],
      [late, 'fails', /did not answer within 2 s/, /--wait 10/],
      [{ kind: 'late', seconds: 50 }, 'fails', /within 50 s/, /--wait 60;/],
      [died, 'fails', /broke off \(SIGSEGV\)/, /midi:1/],
    ],
    judgeSound,
  );
});

const midi = (outputs: readonly string[], inputs: readonly string[] = []): Trial<FoundMidi> => ({
  kind: 'found',
  found: { library: 'midi', outputs, inputs },
});

describe('MIDI', () => {
  holds<Trial<FoundMidi>>(
    [
      [
        midi(['Synth A', 'Synth B']),
        'works',
        /^2 destinations: Synth A, Synth B \(through the package midi\)$/,
        null,
      ],
      [midi(['Midi Through Port-0', 'Synth']), 'works', /^2 destinations/, null],
      [midi([]), 'fails', /no destination is there \(through the package midi\)/, /connect a synthesizer/],
      [midi(['Midi Through Port-0']), 'fails', /makes no sound by itself/, /connect a synthesizer/],
      [
        { kind: 'failed', why: 'no MIDI ports: none; load it' },
        'fails',
        /^no MIDI ports: none$/,
        /^load it$/,
      ],
      [died, 'fails', /broke off/, /--out sound/],
      [late, 'fails', /did not answer/, /--wait/],
    ],
    judgeMidiOut,
  );
  holds<Trial<FoundMidi>>(
    [
      [midi([], ['Pedal']), 'works', /^1 source: Pedal/, null],
      [midi(['Synth']), 'fails', /no source/, /pedal/],
    ],
    judgeMidiIn,
  );
  it('cannot be steered by a port’s name', () => {
    expect(judgeMidiOut(midi(['\u001b[2JSynth'])).says).toContain('␛[2JSynth');
  });
});

const heard = (condition: FoundMicrophone['condition'], level: number, trouble: string | null) =>
  ({ kind: 'found', found: { name: 'Mic', by: 'arecord', condition, level, trouble } }) as const;

describe('the microphone', () => {
  holds<Trial<FoundMicrophone>>(
    [
      [heard('fine', -31.4, null), 'works', /^Mic hears −31 dB \(0 dB/, null],
      [heard('silent', -120, 'it hears nothing; look whether it is muted'), 'fails', /silent/, /muted/],
      [heard('clipping', -1, 'it is overloaded; turn it down'), 'works', /overloaded/, /turn it down/],
      [heard('noisy', -20, 'the room is loud; use headphones'), 'works', /loud/, /headphones/],
      [
        { kind: 'failed', why: 'no microphone was found; connect one' },
        'fails',
        /no microphone/,
        /connect one/,
      ],
      [late, 'fails', /the microphone did not answer/, /--wait/],
    ],
    judgeMicrophone,
  );
});

const signs: TerminalSigns = {
  lack: null,
  isTerminal: true,
  columns: 80,
  rows: 24,
  colour: true,
  unicode: true,
  depth: 8,
  env: { TERM: 'xterm-256color', LANG: 'C.UTF-8' },
  background: null,
};
const answers: TerminalAnswers = { unasked: null, background: null, widths: [] };
const piped = { ...signs, isTerminal: false, lack: 'this is not a terminal' };

describe('the terminal', () => {
  holds<TerminalSigns>(
    [
      [signs, 'works', /^80 columns by 24 rows; 60 by 18 are needed$/, null],
      [{ ...signs, columns: 60, rows: 18 }, 'works', /60 columns by 18 rows/, null],
      [{ ...signs, columns: 59 }, 'fails', /has 59 columns/, /larger/],
      [{ ...signs, rows: 17 }, 'fails', /17 rows, and 60 by 18 are needed/, /larger/],
      [{ ...signs, lack: 'TERM is “dumb”' }, 'fails', /dumb/, /--plain/],
      [piped, 'untried', /not a terminal/, /without pipes/],
    ],
    judgeSize,
  );
  holds<TerminalSigns>(
    [
      [signs, 'works', /16 are used, and 256 are known/, null],
      [{ ...signs, depth: 24 }, 'works', /all are known/, null],
      [{ ...signs, colour: false, env: { NO_COLOR: '1' } }, 'works', /NO_COLOR/, /unset NO_COLOR/],
      [{ ...signs, depth: 1, env: { TERM: 'vt100' } }, 'fails', /vt100/, /set TERM/],
      [piped, 'untried', /not a terminal/, /without pipes/],
    ],
    judgeColours,
  );
  holds<[TerminalSigns, TerminalAnswers]>(
    [
      [[signs, { ...answers, background: [1, 1, 0.5] }], 'works', /#ffff80/, null],
      [[signs, answers], 'fails', /OSC 11/, /background: light/],
      [
        [{ ...signs, background: { by: 'settings.yaml', is: 'dark' } }, answers],
        'works',
        /dark, as settings.yaml/,
        null,
      ],
      [[signs, { ...answers, unasked: 'it is away; call it back' }], 'untried', /it is away/, /call it back/],
      [[piped, answers], 'untried', /not a terminal/, /without pipes/],
    ],
    ([one, told]) => judgeBackground(one, told),
  );
  const drawn = ['♭', '▮', '漢'];
  holds<[TerminalSigns, TerminalAnswers]>(
    [
      [[signs, { ...answers, widths: [1, 1, 2] }], 'works', /all 3/, null],
      [
        [signs, { ...answers, widths: [2, 1, 2] }],
        'fails',
        /“♭” takes 2 columns instead of 1/,
        /--no-unicode/,
      ],
      // A sign shown as its bytes, and then no answer any more.
      [[signs, { ...answers, widths: [3] }], 'fails', /“♭” takes 3/, /UTF-8/],
      [[signs, { ...answers, widths: [1, 1] }], 'untried', /DSR 6/, /--no-unicode/],
      [[signs, answers], 'untried', /DSR 6/, /--no-unicode/],
      [[{ ...signs, unicode: false, env: { LANG: 'C' } }, answers], 'untried', /LANG is “C”/, /set LANG/],
      [[{ ...signs, unicode: false, env: { TERM: 'linux' } }, answers], 'untried', /console/, /LANG/],
      [[piped, answers], 'untried', /not a terminal/, /without pipes/],
    ],
    ([one, told]) => judgeSigns(one, told, drawn),
  );
});

const folder = { path: '/home/x/.config/barkline', isThere: true, unwritable: null, free: 3 * 2 ** 30 };

describe('files', () => {
  holds(
    [
      [folder, 'works', /can be written, 3 GB free/, null],
      [{ ...folder, isThere: false }, 'works', /not there yet/, null],
      [{ ...folder, free: null }, 'works', /can be written$/, null],
      [
        { ...folder, unwritable: 'the disk is read-only', free: null },
        'fails',
        /read-only/,
        /XDG_CONFIG_HOME/,
      ],
      [{ ...folder, free: 2 ** 20 }, 'fails', /only 1 MB left/, /make room/],
    ],
    (found) => judgeFolder('config-folder', found),
  );
  const file = '/x/settings.yaml';
  holds(
    [
      [{ file, isThere: true, faults: [] }, 'works', /no fault/, null],
      [{ file, isThere: false, faults: [] }, 'works', /there is no/, null],
      [
        { file, isThere: true, faults: [`${file}:2:1: “hnad” is not a setting; settings are hand`, 'more'] },
        'fails',
        /settings.yaml:2:1: “hnad” is not a setting, and 1 more$/,
        /^settings are hand; until then/,
      ],
    ],
    judgeSettings,
  );
  holds(
    [
      [{ looked: 11, more: 0, unreadable: [] }, 'works', /all 11/, null],
      [{ looked: 11, more: 4, unreadable: [] }, 'works', /no time for 4 more/, null],
      [
        { looked: 11, more: 0, unreadable: [{ file: '/c/a b.yaml', fault: 'a b.yaml:1:1: bad; mend' }] },
        'fails',
        /1 of 11 cannot be read; the first: a b.yaml:1:1: bad$/,
        /check “\/c\/a b.yaml”/,
      ],
    ],
    judgeCharts,
  );
});

describe('the network', () => {
  const own = { kind: 'found', found: { address: 'mqtt://127.0.0.1:1', own: true } } as const;
  it('needs a broker only where one is named', () => {
    const gone = { kind: 'failed', why: 'nothing answers; start it' } as const;
    expect(judgeBroker(own, false)).toMatchObject({ state: 'works', needed: 'no' });
    expect(judgeBroker(gone, true)).toMatchObject({ state: 'fails', needed: 'machine', todo: 'start it' });
    expect(judgeBroker(gone, false)).toMatchObject({ state: 'fails', needed: 'no' });
  });
  it('is searched for bands where the question is heard again', () => {
    expect(judgeDiscovery({ kind: 'found', found: { heard: true } }).state).toBe('works');
    expect(judgeDiscovery({ kind: 'found', found: { heard: false } })).toMatchObject({
      state: 'fails',
      todo: expect.stringContaining('5353'),
    });
    expect(judgeDiscovery({ kind: 'untried', why: 'left out' }).state).toBe('untried');
  });
});

const verdict = (name: Verdict['name'], state: State, needed: Verdict['needed']): Verdict => ({
  name,
  state,
  needed,
  says: 'it is so',
  todo: state === 'works' ? null : 'do this',
  found: {},
});

describe('what it comes to', () => {
  it.each([
    ['works', 'fails', [], 0],
    ['fails', 'works', [], 0],
    ['fails', 'fails', [], 3],
    ['fails', 'untried', [], 3],
    ['untried', 'untried', [], 0],
    ['works', 'works', [verdict('microphone', 'fails', 'no')], 0],
    ['works', 'works', [verdict('terminal', 'fails', 'machine')], 3],
    ['works', 'works', [verdict('terminal', 'untried', 'machine')], 0],
    ['works', 'works', [verdict('settings', 'fails', 'input')], 1],
    ['works', 'works', [verdict('settings', 'fails', 'input'), verdict('terminal', 'fails', 'machine')], 3],
    ['fails', 'fails', [verdict('settings', 'fails', 'input')], 3],
  ] as const)('sound %s, MIDI %s, and %j: %i', (sound, out, others, status) => {
    const all = [verdict('sound', sound, 'one'), verdict('midi-out', out, 'one'), ...others];
    expect(statusOf(all)).toBe(status);
    expect(JSON.parse(reportJson(all))).toMatchObject({ version: 1, status, heard: canBeHeard(all) });
  });

  const all = [
    verdict('program', 'works', 'machine'),
    verdict('settings', 'fails', 'input'),
    verdict('sound', 'fails', 'one'),
    verdict('midi-out', 'untried', 'one'),
  ];
  it('is a line each for a pipe, what matters most first, and what is to be fixed', () => {
    expect(reportLines(all, null)).toEqual([
      'sound          does not work  it is so; do this',
      'midi-out       not tried      it is so; do this',
      'settings       does not work  it is so; do this',
      'program        works          it is so',
      'To fix: sound or MIDI (one of them is enough), settings.',
    ]);
  });
  it('fits a terminal, and loses no word there', () => {
    const says = 'a long sentence that does not fit into what is left of a line of sixty columns';
    const lines = reportLines([{ ...verdict('sound', 'works', 'one'), says }], 60);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(60);
    expect(lines.join(' ').replace(/ +/g, ' ')).toBe(
      `sound works ${says} Everything that is needed works, and it is heard through the built-in sound.`,
    );
  });
  it('is the same in JSON, with names that programs can count on', () => {
    const { checks } = JSON.parse(reportJson(all));
    expect(checks[0]).toEqual({
      name: 'sound',
      state: 'fails',
      needed: 'one',
      says: 'it is so',
      todo: 'do this',
      found: {},
    });
    expect(checks.map(({ name }: Verdict) => name)).toEqual(['sound', 'midi-out', 'settings', 'program']);
  });
});

it('takes a sentence with advice apart', () => {
  expect(whatAndTodo('it is broken; mend it; or not')).toEqual({
    says: 'it is broken',
    todo: 'mend it; or not',
  });
  expect(whatAndTodo('it is broken')).toEqual({ says: 'it is broken', todo: null });
});
