import { readFileSync } from 'node:fs';
import { Command, CommanderError } from 'commander';
import type { DiaryFlags } from './commands/diary.js';
import { exit, Stop, say } from './commands/exit.js';
import type { ExportFlags } from './commands/export.js';
import { leaveGoneTerminals } from './commands/gone-terminals.js';
import type { ImportFlags } from './commands/import.js';
import type { KeyFlags } from './commands/key.js';
import type { PlanFlags } from './commands/plan-flags.js';
import type { PlayFlags } from './commands/play-options.js';
import { finishOutput, guardOutput, printDocument, sayOfCall, whenOutputFails } from './commands/print.js';
import type { ShapesFlags } from './commands/shapes.js';
import type { DrillFlags } from './commands/shed-drill.js';
import type { NumbersFlags } from './commands/shed-numbers.js';
import type { TodayFlags } from './commands/shed-today.js';
import type { UnseenFlags } from './commands/shed-unseen.js';
import type { ShowFlags } from './commands/show-options.js';

/*
 * argv → a command. The only place that ends the process. Commands are imported when they are called, so
 * that those which only print do not wait for the screen's libraries.
 */

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

let status: number = exit.done;

/** Gathers an option that may be written several times. */
function several(value: string, before: readonly string[] = []): readonly string[] {
  return [...before, value];
}

const program = new Command('barkline')
  .description('Number charts for rhythm mandolin: the chart, the click, and the way the hand goes.')
  .version(version)
  .argument('[folder]', 'charts to list; without it your own and the demo charts')
  .option('--out <output>', 'midi:NAME-OR-NUMBER, virtual[:NAME], raw:PATH, sound or none', several)
  .option('--no-unicode', 'draw with plain characters')
  .enablePositionalOptions()
  .exitOverride()
  .configureOutput({
    writeOut: printDocument,
    writeErr: sayOfCall,
  })
  .showSuggestionAfterError()
  .addHelpText(
    'after',
    `
Examples:
  barkline                                    the list of charts
  barkline play CHART --key Bb --tempo 75%    one chart, in B flat, at three quarters of its tempo
  barkline play CHART --out midi:1            to the first MIDI destination
  barkline show CHART --key D                 the chart as text
  barkline check *.yaml                       every fault with its place`,
  )
  .action(async (folder: string | undefined, flags: PlayFlags) => {
    const { loadScreen, screenLack } = await import('./commands/screen.js');
    const lack = screenLack();
    if (lack !== null)
      throw new Stop(
        exit.call,
        `the list of charts needs a terminal with a full screen; ${lack}`,
        'barkline play FILE --plain plays one without',
      );
    loadScreen();
    const { openStand } = await import('./commands/stand.js');
    status = await openStand({ ...(folder === undefined ? {} : { folder }), flags });
  });

program
  .command('play')
  .description('play a chart or a set')
  .argument('<file>', 'a chart or set file')
  .option('--key <key>', 'the key: A, Bb, F#m')
  .option('--tempo <tempo>', 'as the chart counts it, or a share of its own: 140, 75%')
  .option('--from <bar>', 'start at this bar')
  .option('--loop <bars>', 'play these bars over and over: 5-8')
  .option('--passes <number>', 'how often; without end on the stand, once when plain')
  .option('--count-in <bars>', 'bars of count-in, 0 to 2; 1 unless the set or you said otherwise')
  .option('--to-tempo <tempo>', 'a tempo to go to, bar by bar: 200, 120%')
  .option('--over <bars>', 'in how many bars it is reached; a pass when absent')
  .option(
    '--out <output>',
    'midi:NAME-OR-NUMBER, virtual[:NAME], raw:PATH, sound or none; write it again for several at once',
    several,
  )
  .option('--pattern <name>', 'the right hand: low-chop, waltz, ring … or a file')
  .option('--click <kind>', 'every, backbeat, first, divided or off')
  .option('--gaps <bars>', 'bars with and without a click by turns: 3-1')
  .option('--no-accents', 'no accent on the first beat')
  .option('--voices <list>', 'what sounds: click,bass, or all; with levels in percent: click:60,bass')
  .option('--send-clock', 'MIDI clock, start, stop and song position to every MIDI output')
  .option('--follow <source>', 'an outside MIDI clock leads: midi:NAME-OR-NUMBER, raw:PATH')
  .option('--resume', 'take up a run of this set that was broken off, at the song it had come to')
  .option('--pedal <source>', 'listen for pedals only there: midi:NAME-OR-NUMBER, raw:PATH')
  .option('--stats', 'tell at the end how late the clock was')
  .option('--who <name>', 'whose diary, hand and settings')
  .option('--plain', 'a line a bar instead of the full screen')
  .option('--no-unicode', 'draw with plain characters')
  .addHelpText(
    'after',
    `
Examples:
  barkline play CHART --key Bb --tempo 75%
  barkline play CHART --plain --passes 2 --out none
  barkline play CHART --tempo 70% --to-tempo 100% --over 64
  barkline play CHART --voices click:60,bass,chop --gaps 3-1
  barkline play CHART --out sound --out midi:1 --send-clock
  barkline play SET --resume`,
  )
  .action(async (file: string, flags: PlayFlags) => {
    const { loadScreen, screenLack } = await import('./commands/screen.js');
    if (!flags.plain && screenLack() === null) loadScreen();
    const { play } = await import('./commands/play.js');
    status = await play(file, flags);
  });

program
  .command('check')
  .description('tell every fault of charts and sets')
  .argument('[files...]', 'chart or set files')
  .option('--json', 'one JSON document')
  .option('--watch', 'check again on every save, and show the chart')
  .option('--notation', 'print the notation on one screen')
  .addHelpText('after', '\nExamples:\n  barkline check charts/*.yaml\n  barkline check --watch CHART')
  .action(async (files: string[], flags: { json?: boolean; watch?: boolean; notation?: boolean }) => {
    if (flags.notation) {
      const { notation } = await import('./chart/notation.js');
      printDocument(notation);
      return;
    }
    if (files.length === 0)
      throw new Stop(exit.call, 'no file was named', 'name charts or sets: barkline check FILE…');
    if (flags.watch) {
      const { watch } = await import('./commands/watch.js');
      status = await watch(files);
      return;
    }
    const { check } = await import('./commands/check.js');
    status = check(files, flags);
  });

const shed = program
  .command('shed')
  .description('practise: what is due today, drills, charts nobody has seen, numbers')
  .addHelpText(
    'after',
    `
Examples:
  barkline shed today --minutes 20             a sitting, on the stand, by itself
  barkline shed drill CHART                    the drills that can be made from a chart
  barkline shed unseen --level hard --key B    a chart at sight
  barkline shed numbers                        4 of Bb?
  barkline shed plan Ansa                      a week of practice for a student, as text`,
  );

shed
  .command('today')
  .description('what to practise today, for how long, and why; runs by itself on the stand')
  .option('--minutes <minutes>', 'how long, 4 to 180; 20 without it')
  .option('--set <set>', 'the next set: its hardest changes are practised')
  .option('--who <name>', 'whose diary, hand and targets')
  .option('--json', 'print the sitting as one JSON document')
  .option('--out <output>', 'where it sounds', several)
  .option('--no-unicode', 'draw with plain characters')
  .action(async (flags: TodayFlags) => {
    const { shedToday } = await import('./commands/shed-today.js');
    status = await shedToday(flags);
  });

shed
  .command('plan')
  .description('the week’s drills with their tempos, as text')
  .argument('<name>', 'whose week')
  .option('--minutes <minutes>', 'a day, 4 to 180; 20 without it')
  .option('--set <set>', 'the next set')
  .action(async (name: string, flags: TodayFlags) => {
    const { shedPlan } = await import('./commands/shed-today.js');
    status = shedPlan(name, flags);
  });

shed
  .command('drill')
  .description('the drills that can be made from a chart, or one of them as a chart')
  .argument('<file>', 'a chart')
  .argument('[kind]', 'which drill is printed')
  .option('--key <key>', 'the key to put the chart in')
  .option('--bar <bar>', 'the bar whose phrase is meant')
  .option('--seed <number>', 'for random orders')
  .option('--chords <numbers>', 'any two chords in alternation: 1,6-')
  .option('--bars <bars>', 'so many bars each')
  .action(async (file: string, kind: string | undefined, flags: DrillFlags) => {
    const { shedDrill } = await import('./commands/shed-drill.js');
    status = shedDrill(file, kind, flags);
  });

shed
  .command('unseen')
  .description('a chart nobody has seen, at sight; printed where there is no terminal')
  .option('--seed <number>', 'the same number makes the same chart')
  .option('--key <key>', 'the key that is called; G without it')
  .option('--level <level>', 'easy, fair, hard or wicked')
  .option('--tempo <tempo>', 'quarters a minute; 160 without it')
  .option('--late <beats>', 'numbers appear only so many beats before they are due')
  .option('--who <name>', 'whose diary')
  .option('--out <output>', 'where it sounds', several)
  .option('--no-unicode', 'draw with plain characters')
  .action(async (flags: UnseenFlags) => {
    const { shedUnseen } = await import('./commands/shed-unseen.js');
    status = await shedUnseen(flags);
  });

shed
  .command('numbers')
  .description('quick questions without the instrument')
  .option('--count <count>', 'how many; 12 without it')
  .option('--seed <number>', 'the same number asks the same')
  .option('--who <name>', 'whose diary')
  .action(async (flags: NumbersFlags) => {
    const { shedNumbers } = await import('./commands/shed-numbers.js');
    status = await shedNumbers(flags);
  });

shed
  .command('speed')
  .description('how fast your hand is, by the diary, and how well that predicts')
  .option('--who <name>', 'whose diary')
  .option('--json', 'print one JSON document')
  .action(async (flags: { who?: string; json?: boolean }) => {
    const { shedSpeed } = await import('./commands/shed-speed.js');
    status = shedSpeed(flags);
  });

program
  .command('diary')
  .description('what was practised, how it went, and which tempos hold')
  .option('--who <name>', 'whose diary')
  .option('--days <days>', 'so many days; 7 without it')
  .option('--json', 'print one JSON document')
  .option('--csv', 'print a line a pass, for spreadsheets')
  .option('--no-unicode', 'draw with plain characters')
  .action(async (flags: DiaryFlags) => {
    const { showDiary } = await import('./commands/diary.js');
    status = showDiary(flags);
  });

program
  .command('new')
  .description('ask title, key, tempo and meter, and write a chart to go on from')
  .argument('[file]', 'the file to write; named after the title without it')
  .action(async (file: string | undefined) => {
    const { newChart } = await import('./commands/new.js');
    status = await newChart(file);
  });

program
  .command('import')
  .description('print a chart made from ABC, MusicXML or a plain sheet of letters')
  .argument('<file>', '.abc, .musicxml, .mxl, or chords in letters, a line a phrase; with --all a folder too')
  .option('--key <key>', 'the key the letters are in')
  .option('--tempo <tempo>', 'as a chart has it: 200, half=118')
  .option('--meter <meter>', 'of letters, as a chart has it: 3/4')
  .option('--title <title>', 'the title; the file’s own, or its name, without it')
  .option('--skip-words', 'leave out lines of letters that are not chords')
  .option('--tune <number>', 'of an ABC file: the tune with this number')
  .option('--list', 'of an ABC file: the tunes it has')
  .option('--all <folder>', 'every song with chords, of a file or of a folder of files, as NUMBER-title.yaml')
  .option('--force', 'write over files that are there')
  .addHelpText(
    'after',
    `
Examples:
  barkline import TUNES.abc --list
  barkline import TUNES.abc --tune 12 > CHART.yaml
  barkline import TUNES.abc --all FOLDER
  barkline import SONG.musicxml > CHART.yaml
  barkline import SHEET.txt --key A --tempo 200 > CHART.yaml`,
  )
  .action(async (file: string, flags: ImportFlags) => {
    const { importFile } = await import('./commands/import.js');
    status = importFile(file, flags);
  });

program
  .command('export')
  .description('write a chart or a set in a format that others read')
  .argument('<file>', 'a chart or set file')
  .option('--to <format>', 'pdf, text, midi, abc or musicxml')
  .option('-o, --output <path>', 'the file, or a folder for several; - is stdout')
  .option('--key <key>', 'the key: A, Bb, F#m')
  .option('--keys <keys>', 'several keys: A,Bb,D; on paper one behind the other, else a file each')
  .option('--tempo <tempo>', 'as the chart counts it, or a share of its own: 140, 75%')
  .option('--passes <number>', 'midi: how often; once, or as the set says')
  .option('--count-in <bars>', 'midi: bars of count-in, 0 to 2')
  .option('--voices <list>', 'midi: what sounds, all when absent: click,bass:80,chop')
  .option('--paper <size>', 'pdf: a4 or letter')
  .option('--large', 'pdf: large print')
  .option('--left-handed', 'pdf: shapes for who plays the other way round')
  .option('--blank <what>', 'pdf, text: chords or shapes are left blank to fill in; the answers come last')
  .option('--shapes', 'abc: frets below each chord; musicxml: frames with fingers')
  .option('--force', 'write over files that are there')
  .addHelpText(
    'after',
    `
Examples:
  barkline export CHART --to pdf --keys A,Bb,D --large
  barkline export SET --to pdf -o SET.pdf
  barkline export CHART --to text --blank shapes
  barkline export CHART --to midi --voices click,bass
  barkline export CHART --to abc -o - --shapes
  barkline export CHART --to musicxml --keys A,Bb,D -o FOLDER
  barkline export SET --to midi -o FOLDER`,
  )
  .action(async (file: string, flags: ExportFlags) => {
    const { exportFile } = await import('./commands/export.js');
    status = await exportFile(file, flags);
  });

program
  .command('completion')
  .description('print the completion script of a shell')
  .argument('<shell>', 'bash, zsh or fish')
  .addHelpText('after', '\nExample:\n  source <(barkline completion bash)')
  .action(async (shell: string) => {
    const { completion } = await import('./commands/completion.js');
    const known = program.commands.map((command) => ({
      name: command.name(),
      // Of a command that has commands of its own, those and what they can be told.
      options: [command, ...command.commands].flatMap((one) => [
        ...(one === command ? [] : [one.name()]),
        ...one.options.flatMap((option) => option.long ?? []),
      ]),
    }));
    status = completion(shell, known);
  });

program
  .command('show')
  .description('print a chart in a key, or a set’s running order')
  .argument('<file>', 'a chart or set file')
  .option('--key <key>', 'the key: A, Bb, F#m')
  .option('--for <singer>', 'in the key that the chart has for this singer')
  .option(
    '--capo <fret>',
    'with the letters for guitars and banjos behind a capo; auto finds shapes of G, C or D',
  )
  .option('--fits <singer>', 'the keys that fit this singer of the settings')
  .option('--range <notes>', 'the keys that fit this range: A3-D5')
  .option('--as <form>', 'text, or chart: the file in its canonical form', 'text')
  .option('--json', 'one JSON document: the unrolled pass')
  .addHelpText(
    'after',
    '\nExamples:\n  barkline show CHART --key Eb\n  barkline show CHART --key Bb --capo auto\n  barkline show CHART --range A3-D5\n  barkline show CHART --as chart',
  )
  .action(async (file: string, flags: ShowFlags) => {
    const [{ loadChart, loadGood }, { show }] = await Promise.all([
      import('./commands/load.js'),
      import('./commands/show.js'),
    ]);
    const content = loadGood(file);
    if (content.kind === 'set') {
      const { showSet } = await import('./commands/show-set.js');
      status = showSet(file, content.set, flags);
    } else status = show(content.kind === 'chart' ? content.chart : loadChart(file), flags);
  });

program
  .command('shapes')
  .description('the closed shapes of chords, with fingers: I index, M middle, R ring, L little')
  .argument('<chords...>', 'chords in letters: A F#m Bb7')
  .option(
    '--instrument <name>',
    'mandolin, mandola, octave-mandolin, mandocello, tenor-banjo, ukulele …, or a file',
  )
  .option('--all', 'every voicing there is, the least effort first')
  .option('--open', 'with open courses too')
  .option('--rootless', 'without the root too')
  .option('--hand <name>', 'usual, small or large, or a file')
  .option('--explain', 'the parts of each effort')
  .option('--no-unicode', 'plain characters')
  .option('--json', 'one JSON document')
  .addHelpText(
    'after',
    '\nExamples:\n  barkline shapes G C D7\n  barkline shapes Bm7b5 --instrument mandola --all',
  )
  .action(async (chords: string[], flags: ShapesFlags) => {
    const { shapes } = await import('./commands/shapes.js');
    status = shapes(chords, flags);
  });

program
  .command('key')
  .description('a key at a glance: scale by number, family, moves, usual shapes')
  .argument('<key>', 'A, Bb, F#m')
  .option('--instrument <name>', 'an instrument by name, or a file')
  .option('--from <key>', 'the key before: says whether its family stays')
  .option('--no-unicode', 'plain characters')
  .option('--json', 'one JSON document')
  .addHelpText('after', '\nExamples:\n  barkline key Bb\n  barkline key C --from A')
  .action(async (text: string, flags: KeyFlags) => {
    const { key } = await import('./commands/key.js');
    status = key(text, flags);
  });

program
  .command('plan')
  .description(
    'how the hand goes through a chart: every chord with shape, fingers and motion, and the hardest changes',
  )
  .argument('<file>', 'a chart file')
  .option('--key <key>', 'the key: A, Bb, F#m')
  .option('--instrument <name>', 'an instrument by name, or a file')
  .option('--hand <name>', 'usual, small or large, or a file')
  .option('--without <fingers>', 'fingers to do without: little, or ring,little')
  .option('--reach <mm>', 'the widest stretch, mm along the neck')
  .option('--frets <range>', 'keep within these frets: 1-9')
  .option('--start <frets>', 'begin with this shape: 9-7-4-5')
  .option('--hold <how>', 'steady: one shape a chord in a section; free')
  .option(
    '--least <what>',
    'total: the least effort as a whole; hardest: the hardest change as easy as can be',
  )
  .option('--voicings <which>', 'stock: the shapes the trade plays; any')
  .option('--open', 'open courses may sound, for songs that let strings ring')
  .option('--explain', 'other ways for each chord, and what each would cost')
  .option('--no-unicode', 'plain characters')
  .option('--json', 'one JSON document')
  .addHelpText(
    'after',
    '\nExamples:\n  barkline plan CHART --key B\n  barkline plan CHART --without little --least hardest',
  )
  .action(async (file: string, flags: PlanFlags) => {
    const [{ loadChart }, { plan }] = await Promise.all([
      import('./commands/load.js'),
      import('./commands/plan.js'),
    ]);
    status = plan(loadChart(file), flags);
  });

program
  .command('ports')
  .description('list MIDI destinations and sources, and what can be heard now')
  .option('--test <output>', 'a click a second there, to hear it and to set its offset')
  .option('--json', 'one JSON document')
  .addHelpText('after', '\nExamples:\n  barkline ports\n  barkline ports --test sound')
  .action(async (flags: { json?: boolean; test?: string }) => {
    const { ports } = await import('./commands/ports.js');
    status = await ports(flags);
  });

guardOutput();
whenOutputFails((ended) => process.exit(ended));
process.on('exit', leaveGoneTerminals);

try {
  await program.parseAsync();
} catch (error) {
  if (error instanceof CommanderError) status = error.exitCode === 0 ? exit.done : exit.call;
  else if (error instanceof Stop) {
    say(`barkline: ${error.what}`);
    if (error.instead !== '') say(error.instead);
    status = error.status;
  } else {
    say(`barkline failed: ${error instanceof Error ? error.message : String(error)}`);
    say('please report it, with what you did before');
    status = 70;
  }
}
// Ends with the results written: a pipe may still be taking them. Ended by a signal it waits for nobody.
process.exitCode = status;
if (status > 128) process.exit(status);
finishOutput(() => process.exit(status));
