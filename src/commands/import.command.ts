import { Command } from '@commander-js/extra-typings';
import { type Declared, examples, whole } from './declare.js';

/** `import`: charts from other formats. */
export const declared: Declared = (done) =>
  new Command('import')
    .description('make a chart from ABC, MusicXML or a plain sheet of letters, and print it')
    .argument(
      '<file>',
      '.abc, .musicxml or .mxl, or text with chord letters, one phrase a line; with --all also a folder',
    )
    .option(
      '--key <key>',
      'the key of the letters; for a tune or score, the key of its chords if the file names another',
    )
    .option('--tempo <tempo>', 'the tempo, written as in a chart: 200, half=118')
    .option('--meter <meter>', 'letters: the meter, written as in a chart: 3/4')
    .option('--title <title>', 'the title (default: the file’s own title, or its name)')
    .option('--skip-words', 'letters: leave out lines that are not chords')
    .option('--keep-words', 'letters: keep those lines, as words of the line of chords above them')
    .option('--words', 'ABC and MusicXML: keep the lyrics, as words of their lines')
    .option('--no-melody', 'ABC and MusicXML: leave out the tune')
    .addOption(whole('--tune <number>', 'ABC: the tune with this number', [0, 1_000_000]))
    .option('--list', 'ABC: list the tunes in the file')
    .option(
      '--all <folder>',
      'import every song with chords, from a file or a folder of files, as NUMBER-title.yaml',
    )
    .option('--force', 'overwrite existing files')
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
