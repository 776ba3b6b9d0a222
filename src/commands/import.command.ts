import { Command } from '@commander-js/extra-typings';
import { type Declared, examples, whole } from './declare.js';

/** `import`: charts from other formats. */
export const declared: Declared = (done) =>
  new Command('import')
    .description('print a chart made from ABC, MusicXML or a plain sheet of letters')
    .argument(
      '<file>',
      '.abc, .musicxml, .mxl, or chords in letters, a line a phrase; with --all a folder too',
    )
    .option('--key <key>', 'the key the letters are in, or the chords of a tune or score that names another')
    .option('--tempo <tempo>', 'as a chart has it: 200, half=118')
    .option('--meter <meter>', 'of letters, as a chart has it: 3/4')
    .option('--title <title>', 'the title; the file’s own, or its name, without it')
    .option('--skip-words', 'leave out lines of letters that are not chords')
    .option('--keep-words', 'keep them, as words above the line of chords over them')
    .option('--words', 'of ABC and MusicXML: keep words to sing, as words of their lines')
    .option('--no-melody', 'of ABC and MusicXML: leave the tune out')
    .addOption(whole('--tune <number>', 'of an ABC file: the tune with this number', [0, 1_000_000]))
    .option('--list', 'of an ABC file: the tunes it has')
    .option(
      '--all <folder>',
      'every song with chords, of a file or of a folder of files, as NUMBER-title.yaml',
    )
    .option('--force', 'write over files that are there')
    .addHelpText(
      'after',
      examples(
        'barkline import TUNES.abc --list',
        'barkline import TUNES.abc --tune 12 > CHART.yaml',
        'barkline import TUNES.abc --all FOLDER',
        'barkline import SONG.musicxml > CHART.yaml',
        'barkline import SHEET.txt --key A --tempo 200 > CHART.yaml',
      ),
    )
    .action(async (file, flags) => {
      const { importFile } = await import('./import.js');
      done(await importFile(file, flags));
    });
