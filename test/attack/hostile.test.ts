import { execFile } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { safeText } from '../../src/base/safe-text.js';
import { cleanEnv, freshFolder, pause, program, root, until } from '../e2e/harness.js';
import { type HostileFiles, hostile, hostileFiles, hostileName, leaks, mark, plain, raw } from './hostile.js';
import { Terminal } from './terminal.js';

/*
 * Everything that comes from outside carries what steers a terminal: charts, sets, settings, patterns, hands, instruments, the
 * diary, names of files, folders and ports, words of the command line. Every command writes, and no such code gets out.
 */

const home = freshFolder();
const ports = fileURLToPath(new URL('./hostile-ports.cjs', import.meta.url));
const env = cleanEnv(home.path, { NODE_OPTIONS: `--require ${ports}`, HOSTILE_PORT: hostile });
let files: HostileFiles;
beforeAll(async () => {
  files = hostileFiles(home.path);
  // Somebody who has walked the path practises with charts.
  await run(['shed', 'path', '--who', 'walked', '--start', 'end']);
});
afterAll(() => home.remove());

interface Written {
  readonly out: string;
  readonly err: string;
  readonly bytes: Buffer;
  readonly status: number;
}

/** Runs the program with pipes; what it writes must be UTF-8 where it is text. */
function run(words: readonly string[], input = ''): Promise<Written> {
  return new Promise((resolve) => {
    const child = execFile(
      process.execPath,
      [program, ...words],
      { env, cwd: files.folder, encoding: 'buffer', maxBuffer: 1 << 26, timeout: 110_000 },
      (error, bytes, err) =>
        resolve({
          out: bytes.toString('utf8'),
          err: err.toString('utf8'),
          bytes,
          status: typeof error?.code === 'number' ? error.code : error ? -1 : 0,
        }),
    );
    child.stdin?.end(input);
  });
}

/** Commands that are typed, with what steers a terminal in them and after them. */
const typedLines = `${[
  '',
  hostile,
  ...[
    [
      'list',
      'open 1',
      'where',
      'chart',
      'order',
      'voices',
      'output',
      'drill',
      'shape',
      'band',
      'pattern',
      'help',
    ],
    [
      'tempo',
      'key',
      'go',
      'loop',
      'voice',
      'melody',
      'click',
      'pattern',
      'output',
      'pedal',
      'say',
      'show',
      'bar 1',
    ].map((name) => `${name} ${hostile}`),
    ['save', 'drill', 'list', 'open', 'song', 'request', 'ask', 'call', 'take', 'help', 'done'].map(
      (name) => `${name} ${hostile}`,
    ),
  ].flat(),
  'quit',
].join('\n')}\n`;

/** A call: its words, and what is typed. `bytes`: a file for programs comes out, of which only the texts are looked at. */
interface Call {
  readonly words: (files: HostileFiles) => readonly string[];
  readonly input?: string;
  readonly bytes?: true;
  /** Nothing from outside is written: that nothing steers says little then. */
  readonly silent?: true;
}

const words = (line: string, ...more: (keyof HostileFiles | { readonly text: string })[]): Call => ({
  words: (all) => [...line.split(' '), ...more.map((one) => (typeof one === 'string' ? all[one] : one.text))],
});
const text = (own: string): { readonly text: string } => ({ text: own });

/** Every command there is by its name, with the calls by which texts from outside get into what it writes. */
const calls: Readonly<Record<string, readonly Call[]>> = {
  play: [
    words('play --plain --out none --count-in 0', 'chart'),
    words('play --plain --out none', 'faulty'),
    words('play --plain --out none', 'faultySet'),
    words('play --plain --out none', 'missing'),
    words('play --plain --count-in 0 --out midi:2', 'chart'),
    words('play --plain --out', text(`midi:${hostile}`), 'chart'),
    words('play --plain --out', text(`raw:${hostile}`), 'chart'),
    words('play --plain --out', text(hostile), 'chart'),
    words('play --plain --out none --follow', text(`raw:${hostile}`), 'chart'),
    words('play --plain --out none --pattern', text(hostile.slice(0, -1)), 'chart'),
    words('play --plain --out none --pattern', 'faultyPattern', 'chart'),
    words('play --plain --out none --click', text(hostile), 'chart'),
    words('play --plain --out none --gaps', text(hostile), 'chart'),
    words('play --plain --out none --key', text(hostile), 'chart'),
    words('play --plain --out none --tempo', text(hostile), 'chart'),
    words('play --plain --out none --voices', text(hostile), 'chart'),
    words('play --plain --out none --loop', text(hostile), 'chart'),
    words('play --plain --out none --who', text(hostile), 'chart'),
    words('play --plain --out none --count-in 0 --passes 1 --tempo 400 --bars', text(`1 "${raw}" 4`)),
    words('play --plain --out none --bars', text(hostile)),
    words('play --plain --out none --bars 1 --meter', text(hostile)),
    { ...words('play --plain --out none --count-in 0', 'chart'), input: typedLines },
    { ...words('play --plain --count-in 0 --out midi:1', 'chart'), input: typedLines },
    { ...words('play --plain --out none --count-in 0', 'set'), input: `${typedLines}` },
    { ...words('play --plain --out none', 'faultySet'), input: typedLines },
  ],
  click: [
    { ...words('click 400 --bars 1 --out none'), silent: true },
    words('click 400 --bars 1 --out midi:1'),
    words('click', text(hostile)),
    words('click --plain --meter', text(hostile)),
    words('click --plain --click', text(hostile)),
    words('click --plain --gaps', text(hostile)),
    words('click --plain --voices', text(hostile)),
    words('click --plain --out', text(`raw:${hostile}`)),
    words('click --plain --out none --follow', text(`raw:${hostile}`)),
  ],
  lead: [
    words('lead --plain --out none --count-in 0 --word kolatirubamosidu', 'chart'),
    words('lead --plain --out none --count-in 0 --word kolatirubamosidu', 'songs'),
    words('lead --plain --out none', 'faulty'),
    words('lead --plain --out none', 'missing'),
    {
      ...words('lead --plain --out none --broker', text(`mqtt://127.0.0.1:1/${hostile}`), 'chart'),
      silent: true,
    },
    words('lead --plain --out none --ca', text(hostile), 'chart'),
    words('lead --plain --out none --port', text(hostile), 'chart'),
    words('lead --plain --out none --part', text(hostile), 'chart'),
  ],
  join: [
    { ...words('join --plain --out none --word', text(hostile)), silent: true },
    { ...words('join --plain --out none', text(`mqtt://${hostile}`)), silent: true },
    {
      ...words('join --plain --out none --word kolatirubamosidu', text(`mqtts://x:${hostile}@y:0`)),
      silent: true,
    },
    words('join --plain --out none --word kolatirubamosidu --ca', text(hostile), text('mqtt://127.0.0.1:1')),
    words('join --plain --out none --capo', text(hostile), text('kolatirubamosidu')),
    words('join --plain --out none --instrument', 'faultyInstrument', text('kolatirubamosidu')),
    words('join --plain --out none --part', text(hostile), text('kolatirubamosidu')),
  ],
  check: [
    words('check', 'chart', 'faulty', 'set', 'faultySet', 'faultyPattern', 'faultyInstrument', 'hand'),
    words('check --json', 'chart', 'faulty', 'set', 'faultySet', 'named'),
    words('check', 'named'),
    words('check', 'missing'),
  ],
  listen: [
    words('listen', 'sound', text('--chart'), 'chart'),
    words('listen', 'sound', text('--chart'), 'faulty'),
    words('listen', 'sound', text('--chart'), 'missing'),
    words('listen', 'missing', text('--chart'), 'chart'),
    words('listen', 'named', text('--chart'), 'chart'),
    words('listen', 'sound', text('--key'), text(hostile), text('--chart'), 'chart'),
    words('listen', 'sound', text('--pattern'), 'faultyPattern', text('--chart'), 'chart'),
    words('listen', 'sound', text('--instrument'), 'faultyInstrument', text('--chart'), 'chart'),
    words('listen --calibrate --out none --microphone', text(`raw:${hostile}`)),
    words('listen --calibrate --microphone', text(`file:${hostile}`), text('--out'), text(hostile)),
  ],
  'shed today': [
    words('shed today'),
    words('shed today --json'),
    words('shed today --set', 'songs'),
    words('shed today --set', 'missing'),
    words('shed today --who', text(hostile)),
    words('shed today --day', text(hostile)),
    words('shed today --plan', 'missing'),
    words('shed today --plan', text(hostile)),
  ],
  'shed plan': [
    words('shed plan Ansa'),
    words('shed plan Ansa --text'),
    words('shed plan Ansa --on', text(hostile)),
    words('shed plan', text(hostile)),
  ],
  'shed path': [
    words('shed path'),
    words('shed path --json'),
    words('shed path --to text -o - --marks'),
    words('shed path --start', text(hostile)),
    words('shed path --who', text(hostile)),
  ],
  'shed drill': [
    words('shed drill', 'chart'),
    ...['alternate', 'silent', 'dropout', 'ramp', 'ladder', 'keys', 'phrase', 'pairs', 'next-chord'].map(
      (kind): Call => ({ words: (all) => ['shed', 'drill', all.chart, kind] }),
    ),
    words('shed drill --chords 1,4', 'chart'),
    { ...words('shed drill --plain --chords 1,4 --out none', 'chart'), input: typedLines },
    words('shed drill --chords', text(hostile), 'chart'),
    { words: (all) => ['shed', 'drill', all.chart, hostile] },
    words('shed drill lift'),
    words('shed drill lift --key', text(hostile)),
    words('shed drill six-ways --tempo', text(hostile)),
  ],
  'shed chop': [
    { ...words('shed chop'), silent: true },
    { ...words('shed chop up --key Bb'), silent: true },
    words('shed chop', text(hostile)),
    words('shed chop up --who', text(hostile)),
  ],
  'shed unseen': [words('shed unseen --level', text(hostile)), words('shed unseen --key', text(hostile))],
  'shed ear': [
    { ...words('shed ear --plain --count 1 --tempo 400 --out none'), input: `${hostile}\n` },
    words('shed ear --level', text(hostile)),
    words('shed ear --key', text(hostile)),
    words('shed ear --tempo', text(hostile)),
    words('shed ear --who', text(hostile)),
    words('shed ear', text(hostile)),
    words('shed ear tune --chart', 'faulty'),
    words('shed ear --chart', 'missing'),
    words('shed ear --plain --listen --microphone', text(hostile)),
    { ...words('shed ear --json'), silent: true },
  ],
  'shed numbers': [
    { ...words('shed numbers --count 1'), input: `${hostile}\n`, silent: true },
    words('shed numbers --count', text(hostile)),
  ],
  'shed speed': [
    { ...words('shed speed'), silent: true },
    { ...words('shed speed --json'), silent: true },
    words('shed speed --who', text(hostile)),
  ],
  diary: [
    words('diary'),
    words('diary --json'),
    words('diary --csv'),
    words('diary --no-unicode'),
    words('diary --days', text(hostile)),
    words('diary --since', text(hostile)),
    words('diary --csv --plan', text(hostile)),
  ],
  new: [
    { ...words('new', text(hostileName)), input: `${raw}\n${raw}\nA\n${raw}\n\n\n` },
    words('new', 'named'),
  ],
  import: [
    words('import', 'abc'),
    words('import --list', 'abc'),
    words('import', 'score'),
    words('import --all', text('in'), 'abc'),
    words('import --key A', 'letters'),
    words('import --key A --skip-words', 'letters'),
    words('import --key A --skip-words --title', text(hostile), 'letters'),
    words('import', 'missing'),
  ],
  export: [
    ...['abc', 'musicxml', 'text'].map((to): Call => words(`export -o - --to ${to}`, 'chart')),
    words('export --to text', 'set'),
    words('export --to abc --shapes -o -', 'chart'),
    { ...words('export --to midi -o -', 'chart'), bytes: true },
    { ...words('export --to pdf -o -', 'chart'), bytes: true },
    words('export --to abc -o', text(`${hostileName}.abc`), 'chart'),
    words('export --to abc', 'named'),
    words('export --to', text(hostile), 'chart'),
    words('export --to text --blank', text(hostile), 'chart'),
    words('export --to pdf --paper', text(hostile), 'chart'),
    words('export --to midi -o sets', 'set'),
    words('export --to text -o - --bars', text(hostile)),
  ],
  help: [
    words('help', text(hostile)),
    words('help --markdown', text(hostile)),
    { ...words('help stand'), silent: true },
  ],
  completion: [
    words('completion', text(hostile)),
    ...['bash', 'zsh', 'fish'].map((shell): Call => ({ ...words(`completion ${shell}`), silent: true })),
    // Names that would steer are left out; those of ports are shown.
    ...['bash', 'zsh', 'fish'].flatMap((shell): Call[] => [
      { ...words(`completion ${shell} --answer -- barkline play`, text('')), silent: true },
      { ...words(`completion ${shell} --answer -- barkline play`, text(hostile)), silent: true },
      { ...words(`completion ${shell} --answer -- barkline play x --out`, text('')), silent: true },
      {
        ...words(`completion ${shell} --answer -- barkline show`, 'chart', text('--for'), text('')),
        silent: true,
      },
      { ...words(`completion ${shell} --answer -- barkline show x --fits`, text('')), silent: true },
      { ...words(`completion ${shell} --answer -- barkline play x --pattern`, text('')), silent: true },
    ]),
    {
      ...words('completion bash --answer --', text('=:'), text(`barkline play '${hostileName}`)),
      silent: true,
    },
    { ...words('completion bash --answer --', text(hostile), text('barkline play x --out ')), silent: true },
  ],
  show: [
    words('show', 'chart'),
    words('show --as chart', 'chart'),
    words('show --as tidy-chart', 'chart'),
    words('show --json', 'chart'),
    words('show --capo auto', 'chart'),
    words('show', 'named'),
    words('show', 'faulty'),
    words('show', 'set'),
    words('show --json', 'set'),
    words('show', 'faultySet'),
    words('show --as', text(hostile), 'chart'),
    words('show --for', text(hostile), 'chart'),
    words('show --for', text(hostile.slice(0, -1)), 'chart'),
    words('show --fits', text(hostile), 'chart'),
    words('show --fits', text(hostile.slice(0, -1)), 'chart'),
    words('show --range', text(hostile), 'chart'),
    words('show --key', text(hostile), 'chart'),
    words('show --as chart --bars', text(`1 "${raw}" 4`)),
    words('show --bars', text(hostile)),
  ],
  find: [
    words('find'),
    words('find --json'),
    words('find --files'),
    words('find --sort weakest'),
    words('find --in .'),
    words('find --json --in .'),
    words('find', text(hostile)),
    words('find --json', text(hostile)),
    words('find --in', text(hostile)),
    words('find --sort', text(hostile)),
    words('find --who', text(hostile)),
  ],
  shapes: [
    words('shapes', text(hostile)),
    words('shapes A --instrument', 'instrument'),
    words('shapes A --json --instrument', 'instrument'),
    words('shapes A --instrument', 'faultyInstrument'),
    words('shapes A --instrument', text(hostile)),
    words('shapes A --hand', 'faultyHand'),
  ],
  key: [
    words('key A --instrument', 'instrument'),
    words('key A --json --instrument', 'instrument'),
    words('key A --from', text(hostile)),
    words('key', text(hostile)),
  ],
  plan: [
    words('plan', 'chart'),
    words('plan --json', 'chart'),
    words('plan --explain --instrument', 'instrument', 'chart'),
    words('plan --hand', 'hand', 'chart'),
    words('plan --hand', 'faultyHand', 'chart'),
    words('plan --hand', text(hostile), 'chart'),
    words('plan --without', text(hostile), 'chart'),
    words('plan --frets', text(hostile), 'chart'),
    words('plan --start', text(hostile), 'chart'),
    words('plan --least', text(hostile), 'chart'),
    words('plan --bars', text(hostile)),
  ],
  doctor: [
    words('doctor --no-network --wait 10'),
    words('doctor --no-network --wait 10 --json'),
    words('doctor --wait', text(hostile)),
    { ...words('doctor', text(hostile)), silent: true },
  ],
  ports: [
    words('ports'),
    words('ports --json'),
    words('ports --test midi:1'),
    words('ports --test', text(`virtual:${hostile}`)),
    words('ports --test', text(`raw:${hostile}`)),
    words('ports --test', text(hostile)),
  ],
};

/** What the call of no command at all says. */
const others: readonly Call[] = [
  { ...words('--plain --out none'), input: typedLines },
  { ...words('--plain --out none', 'folder'), input: typedLines },
  { words: () => [`--${hostile}`] },
  { words: () => ['play', `--${hostile}`] },
  { words: () => ['shed', hostile] },
];

/** The texts of a file of bytes: of MIDI its text events; of PDF none, since it packs them. */
const textsIn = (bytes: Buffer): string =>
  bytes.subarray(0, 4).toString('latin1') === 'MThd'
    ? [...bytes.toString('latin1').matchAll(/\xff[\x01-\x07]([\x01-\x7f])/g)]
        .map(({ 1: length = '', index }) => bytes.subarray(index + 3, index + 3 + length.charCodeAt(0)))
        .map((one) => one.toString('utf8'))
        .join('\n')
    : '';

describe('nothing from outside steers the terminal', () => {
  it('in any command there is', async () => {
    const names = async (...words: string[]): Promise<readonly string[]> => {
      const { out } = await run(['completion', 'fish', '--answer', '--', 'barkline', ...words, '']);
      const offered = out.trimEnd().split('\n').slice(1);
      return offered.flatMap((line) => line.split('\t')[0] ?? []);
    };
    const all: string[] = [];
    for (const name of await names()) {
      // Commands of a command have descriptions, and kinds of an argument are none.
      const inner = name === 'shed' ? await names(name) : [];
      all.push(...(inner.length === 0 ? [name] : inner.map((one) => `${name} ${one}`)));
    }
    expect(all.length).toBeGreaterThan(10);
    expect(Object.keys(calls).sort()).toEqual(all.sort());
  });

  const rows = [...Object.values(calls).flat(), ...others].map((call): [string, Call] => {
    const names = new Proxy({} as HostileFiles, { get: (_, name) => `<${String(name)}>` });
    return [
      call
        .words(names)
        .join(' ')
        .replaceAll(hostile, '…')
        .replace(/evil7[^<]*/, '… '),
      call,
    ];
  });
  it.concurrent.each(rows)('%j', async (_, call) => {
    const { out, err, bytes, status } = await run(call.words(files), call.input);
    const offered = call.words(files).slice(0, 2).join(' ') === 'completion fish';
    // What fish is told has a tab in each line, before the description.
    const text = offered ? out.replace(/^([^\t\n]+)\t/gm, '$1 ') : out;
    const shown = call.bytes ? textsIn(bytes) : text;
    expect([...leaks(shown), ...leaks(err)]).toEqual([]);
    expect([0, 1, 2, 3]).toContain(status);
    if (!call.silent) expect(shown + err).toContain(mark);
  });
});

/** What is pressed, which of the screens comes, and what it then shows. */
type Step = readonly [keys: string, screen: string | null, shows: string | RegExp];

const esc = '\u001b';
/** Every screen there is, by the way there; `Lines` and `ListScreen` are what they are drawn with. */
const sessions: Readonly<
  Record<string, readonly [words: (all: HostileFiles) => readonly string[], ...Step[]]>
> = {
  'the stand and its panels': [
    (all) => ['play', all.chart, '--out', 'midi:1'],
    ['', 'StandScreen', /evil7.*MIDI evil7/s],
    ['k', 'KeyScreen', 'as the chart has it'],
    [esc, 'StandScreen', /A +300.*(ready|planning)/s],
    ['o', 'OutputScreen', `MIDI ${mark}`],
    [esc, 'StandScreen', /A +300.*(ready|planning)/s],
    ['v', 'VoiceScreen', 'Voices'],
    [esc, 'StandScreen', /A +300.*(ready|planning)/s],
    ['c', 'ClickScreen', 'backbeat'],
    [esc, 'StandScreen', /A +300.*(ready|planning)/s],
    ['p', 'PatternScreen', /pattern.*evil7/s],
    [esc, 'StandScreen', /A +300.*(ready|planning)/s],
    ['s', 'ShapeScreen', 'Shape for'],
    [esc, 'StandScreen', /A +300.*(ready|planning)/s],
    ['P', 'PedalScreen', 'pedal'],
    [esc, 'StandScreen', /A +300.*(ready|planning)/s],
    ['?', 'HelpScreen', 'a bar back, forward'],
    [esc, 'StandScreen', /A +300.*(ready|planning)/s],
    // The bar under the cursor, to be rewritten.
    ['b', null, 'bar 1 of the pass'],
    // Only the line of the entry is redrawn.
    [esc, null, / {40}/],
    ['f', 'StandScreen', mark],
    ['f', 'StandScreen', mark],
    ['d', 'DrillScreen', /Drills.*evil7/s],
    ['\r', 'StandScreen', mark],
    [' ', null, /pass 1|count 1/],
  ],
  'a click without a song': [
    () => ['click', '200', '--out', 'midi:1'],
    ['', 'BareClickScreen', /Click.*MIDI evil7.*bar \d/s],
    ['c', 'ClickScreen', 'backbeat'],
    [esc, 'BareClickScreen', 'ears do not heal'],
  ],
  'bars that stand in no file': [
    () => ['play', '--bars', '1 "evil7" 4', '--out', 'midi:1'],
    ['', 'StandScreen', /^(?=.*ready).*MIDI evil7/s],
    ['b', null, 'bar 1 of the pass'],
    ['\r', null, 'in your own charts as'],
  ],
  'a chart while it listens': [
    (all) => ['play', all.chart, '--out', 'none', '--microphone', `file:${all.sound}`],
    ['', 'StandScreen', /evil7.*four chops/s],
    ['u', 'TuningScreen', 'strike each course'],
    [esc, 'StandScreen', mark],
  ],
  'a chart without escapes': [
    (all) => ['play', all.bare, '--out', 'none'],
    ['', 'StandScreen', /evil7.*ready/s],
    ['d', 'DrillScreen', /Drills.*evil7/s],
  ],
  'a set': [
    (all) => ['play', all.set, '--out', 'none'],
    ['', 'CardScreen', /evil7.*Space goes on/s],
    [' ', 'CardScreen', `then: ${mark}`],
    ['g', 'OrderScreen', 'running order'],
    ['\t', 'OrderScreen', 'which chart'],
    ['evil', 'OrderScreen', 'search'],
    [esc, 'OrderScreen', 'running order'],
    [esc, 'CardScreen', mark],
    ['P', 'PedalScreen', 'pedal'],
    [esc, 'CardScreen', mark],
    // Another key than before: the same one so soon again would be taken for a foot switch that repeats itself.
    ['\r', 'StandScreen', mark],
  ],
  'a sitting': [
    (all) => ['shed', 'today', '--who', 'walked', '--out', 'none', '--set', all.songs],
    ['', 'SittingScreen', /Sitting.*evil7/s],
    [' ', 'StandScreen', mark],
  ],
  'changes by ear': [
    () => ['shed', 'ear', '--out', 'midi:1'],
    ['', 'DictationScreen', /changes by ear.*MIDI evil7/s],
    [' ', 'DictationScreen', 'this is the key'],
    ['4', 'DictationScreen', 'these chords give the key'],
  ],
  'the list, and a chart that is written down': [
    () => ['--out', 'none'],
    ['', 'LibraryScreen', /did you mean “Vu␛”/],
    ['folder\r', 'LibraryScreen', /folder.*1 chart|evil7/s],
    [esc, 'LibraryScreen', 'Charts and sets'],
    [esc, 'LibraryScreen', 'Ctrl-C leaves'],
    ['write down\r', 'StandScreen', 'writing down'],
    ['14', null, 'C'],
    ['\r', null, 'its title'],
    [mark, null, mark],
    ['\r', 'StandScreen', /evil7.*ready/s],
  ],
  'a band that is led': [
    (all) => ['lead', all.chart, '--name', hostileName, '--word', ledWord, '--out', 'none'],
    ['', 'StandScreen', /evil7.*you lead/s],
    ['B', 'BandScreen', /The band.*evil7/s],
    [esc, 'StandScreen', mark],
  ],
  // Chart, set, notes and names come over the network, from a band whose texts steer.
  'a band that is joined': [
    () => ['join', '--word', heardWord, `mqtt://127.0.0.1:${heardPort}`, '--name', hostileName],
    ['', 'WaitingScreen', 'The band'],
    ['', 'StandScreen', /evil7.*then: the end of the set/s],
    ['B', 'BandScreen', /The band.*evil7/s],
    [esc, 'StandScreen', mark],
  ],
};
/** The words of the two bands, and where somebody leads the second. */
const ledWord = 'hostile led band';
const heardWord = 'hostile heard band';
const heardPort = 18_917;

/** Somebody leads the band that is joined, with a set in which everything steers. */
function hostileLeader(): Terminal {
  const words = [
    'lead',
    files.songs,
    '--name',
    hostileName,
    '--word',
    heardWord,
    '--port',
    String(heardPort),
  ];
  return new Terminal([process.execPath, program, ...words, '--out', 'none'], { env, cwd: files.folder });
}

describe('nothing from outside steers the screen', () => {
  it('on any screen there is', () => {
    const screens = readdirSync(join(root, 'src/ui/screens'))
      .map((name) => name.replace(/\.tsx$/, ''))
      .filter((name) => name !== 'Lines' && name !== 'ListScreen');
    const seen = Object.values(sessions).flatMap(([, ...steps]) =>
      (steps as readonly Step[]).flatMap(([, screen]) => screen ?? []),
    );
    expect([...new Set(seen)].sort()).toEqual(screens.sort());
  });

  it.each(Object.keys(sessions))('%s', async (name) => {
    const [call, ...steps] = sessions[name] as (typeof sessions)[string];
    const elsewhere = name === 'a band that is joined' ? hostileLeader() : null;
    const terminal = new Terminal([process.execPath, program, ...call(files)], {
      env,
      columns: 130,
      rows: 42,
      cwd: files.folder,
    });
    try {
      for (const [keys, , shows] of steps as readonly Step[]) {
        // In a set the same key within 0.7 s is a foot switch that is held down, and no press.
        if (keys === ' ') await pause(800);
        const from = terminal.bytes.length;
        const shown = (): string => plain(Buffer.from(terminal.bytes.slice(from), 'latin1').toString('utf8'));
        terminal.type(keys);
        const there = await until(
          () => (typeof shows === 'string' ? shown().includes(shows) : shows.test(shown())),
          20_000,
        );
        expect(
          there,
          `${shows} after ${JSON.stringify(keys)}; there was: ${safeText(shown().slice(-1500))}`,
        ).toBe(true);
      }
      await pause(300);
      terminal.type('\u0003');
      await terminal.ends();
      expect(leaks(terminal.text, true)).toEqual([]);
    } finally {
      await terminal.close();
      await elsewhere?.close();
    }
  });

  it.each([
    ['check --watch', (all: HostileFiles) => ['check', '--watch', all.faulty, all.chart]],
    ['ports --test', () => ['ports', '--test', 'midi:1']],
    ['new', () => ['new', hostileName]],
    ['show', (all: HostileFiles) => ['show', all.chart]],
  ] as const)('%s, which draws on the terminal without being a screen', async (_, call) => {
    const terminal = new Terminal([process.execPath, program, ...call(files)], { env, cwd: files.folder });
    try {
      expect(await terminal.shows(/evil7|title/)).toBe(true);
      await pause(1500);
      terminal.type('\u0003');
      await terminal.ends();
      expect(leaks(terminal.text, true)).toEqual([]);
    } finally {
      await terminal.close();
    }
  });
});
