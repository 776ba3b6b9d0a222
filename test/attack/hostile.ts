import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { safeText } from '../../src/base/safe-text.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';

/** What every hostile text begins with: seen in what is written, it says that the text got there. */
export const mark = 'evil7';
/** Writes the clipboard, clears the screen, colours, titles the window; by C0, by C1, and without a word turns a line round. */
const codes =
  '\u001b]52;c;ZXZpbDc=\u0007\u001b[2J\u001b[41m\u001bP1$q\u001b\\\u009b2J\u009d0;x\u009c\u0090q\u0085\u0008\u007f\u202elive\u2066x\u2069\u200b\u200f\ufeff\u061c';
/** A text as a value in double quotes can have it, with what would begin a line of its own. */
export const hostile = `${mark}${codes}\r\nforged7: a line\ttab`;
/** A text as it can stand on a line of a file as it is. */
export const raw = `${mark}${codes}`;
/** A text as it can stand in the brackets of a form. */
const bracketed = raw.replace(/[,:()]/g, '');
/** A name of a file: a line feed too, since a file system takes all but the slash and zero. */
export const hostileName = `${mark}\u001b]52;c;ZXZpbDc=\u0007\u001b[2J\u009b2J\u202e\u2066\u200b\r\nforged7`;

/** What must never arrive at a terminal from a file; our own drawing is taken away before. */
const steering =
  /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]/gu;
/** What the screen asks the terminal for, and draws with: the question for the background, places, styles of the theme (a fault has red behind it) and what Ink closes them with, the last line redrawn. */
const own =
  /\u001b\]11;\?\u001b\\|\u001b\[\?(?:1049|25|2004)[hl]|\u001b\[(?:\d+;\d+)?H|\u001b\[K|\u001b\[(?:0|[12](?:;\d+)?|1;37;41|3(?:;3[24])?|7|2[2-9]|3[0-9]|4[19])?m|\u001b\[2J(?=\u001b\[(?:1;1)?H)|\r\u001b\[K|\r\n/g;

/** What a screen shows, without what it is drawn with. */
export function plain(text: string): string {
  return text.replace(own, '');
}

/** The places in a text that could steer a terminal, each as its code with what stands round it. */
export function leaks(text: string, isScreen = false): string[] {
  const foreign = isScreen ? plain(text) : text;
  const found = [...foreign.matchAll(steering)].map(({ 0: sign, index }) => {
    const code = (sign.codePointAt(0) ?? 0).toString(16).padStart(4, '0');
    return `U+${code} in ${safeText(foreign.slice(Math.max(0, index - 30), index + 15))}`;
  });
  const forged = foreign.split('\n').filter((line) => line.startsWith('forged7'));
  return [...found, ...forged.map((line) => `a forged line: ${safeText(line)}`)];
}

/** The files that attack. All of them read, but the `faulty` ones. */
export interface HostileFiles {
  readonly folder: string;
  readonly chart: string;
  /** A chart without escapes, which a library might have taken away by itself: C1 and marks of direction alone. */
  readonly bare: string;
  readonly faulty: string;
  /** A set of which some songs are faulty or missing, and one whose songs all read. */
  readonly set: string;
  readonly songs: string;
  readonly faultySet: string;
  readonly pattern: string;
  readonly faultyPattern: string;
  readonly hand: string;
  readonly faultyHand: string;
  readonly instrument: string;
  readonly faultyInstrument: string;
  readonly letters: string;
  readonly abc: string;
  readonly score: string;
  /** A chart whose file's name attacks, and a name no file has. */
  readonly named: string;
  readonly missing: string;
  /** A recording of next to nothing. */
  readonly sound: string;
}

const quotes = (text: string): string => JSON.stringify(text);

/** Writes every kind of file there is into the folders that the program looks in, below `home`. */
export function hostileFiles(home: string): HostileFiles {
  const folder = join(home, 'files');
  const program = join(home, 'barkline');
  for (const path of [folder, program, join(program, 'charts'), join(program, 'patterns')])
    mkdirSync(path, { recursive: true });
  const write = (path: string, text: string | Buffer): string => {
    writeFileSync(path, text);
    return path;
  };
  const instrument = write(
    join(folder, 'instrument.yaml'),
    `name: ${quotes(hostile)}\ncourses: G3 D4 A4 E5\n${quotes(`scal\u001b[2J${mark}`)}: 3\n`,
  );
  const pattern = `name: ${quotes(hostile)}\nmeter: 4/4\nstrokes:\n  - 1 low\n  - 2 chop\n`;
  write(join(program, 'patterns', `${hostileName}.yaml`), pattern);
  const chart = chartText(instrument);
  write(join(program, 'charts', `${hostileName}.yaml`), chart);
  write(join(program, 'charts', 'faulty.yaml'), faultyChart);
  write(join(program, 'charts', 'near.yaml'), nearChart);
  write(join(program, 'settings.yaml'), settings);
  write(join(program, 'diary.jsonl'), diary(Date.now()));
  mkdirSync(join(program, 'charts', `${hostileName} folder`), { recursive: true });
  write(join(program, 'charts', `${hostileName} folder`, 'chart.yaml'), chart);
  return {
    folder,
    instrument,
    chart: write(join(folder, 'chart.yaml'), chart),
    faulty: write(join(folder, 'faulty.yaml'), faultyChart),
    bare: write(
      join(folder, 'bare.yaml'),
      `title: ${quotes(`${mark}\u202ex\u009b2J\u0085\u200b\u2066`)}\nkey: A\ntempo: 240\nmeter: 4/4\nsections:\n  V: |\n    1 4 5 1\n`,
    ),
    set: write(join(folder, 'set.yaml'), setText(`${hostileName}.yaml`)),
    songs: write(join(folder, 'songs.yaml'), `title: ${quotes(hostile)}\ncharts:\n  - chart.yaml\n`),
    faultySet: write(join(folder, 'faulty-set.yaml'), faultySet),
    pattern: write(join(folder, 'pattern.yaml'), pattern),
    faultyPattern: write(
      join(folder, 'faulty-pattern.yaml'),
      `name: x\n${quotes(`metr\u001b[2J${mark}`)}: y\nstrokes:\n  - 1 ${raw}\n  - ${raw}\n`,
    ),
    hand: write(join(folder, 'hand.yaml'), `name: ${quotes(hostile)}\nreach:\n  index-little: 90\n`),
    faultyHand: write(
      join(folder, 'faulty-hand.yaml'),
      `name: ${quotes(hostile)}\nwithout: ${raw}\nreach:\n  ${quotes(hostile)}: 9\n`,
    ),
    faultyInstrument: write(
      join(folder, 'faulty-instrument.yaml'),
      `name: ${quotes(hostile)}\ncourses: ${raw}\nfrets: ${raw}\n`,
    ),
    letters: write(join(folder, 'letters.txt'), `A A D E\n${raw} is not a chord\nA E A A ${raw}\n`),
    abc: write(
      join(folder, 'tunes.abc'),
      `X:1\nT:${raw} 50\\% \\\\ done\nC:${raw}\nN:parts A ${raw}\nM:4/4\nL:1/4\nQ:1/4=120\nP:A\nK:A\nP:A\n"^${raw}""A"z4 | "D${raw}"z4 | "E"A2 ${raw} (3B2${raw}cd |\n`,
    ),
    score: write(join(folder, 'score.musicxml'), score),
    named: write(join(folder, `${hostileName}.yaml`), chart),
    missing: join(folder, `missing ${hostileName}.yaml`),
    sound: write(join(folder, `${hostileName}.wav`), soundBytes()),
  };
}

function chartText(instrument: string): string {
  return `# ${raw}
title: ${quotes(hostile)}
by: ${quotes(hostile)}
key: A
tempo: 300
meter: 4/4
pattern: ${quotes(hostile)}
instrument: ${quotes(instrument)}
singers:
  ${quotes(hostile)}: C
range: 1 to 5
notes: ${quotes(`${hostile}\n${hostile}`)}
form: ${quotes(`V (${bracketed}), C, V (${bracketed}: ${bracketed})`)}
sections:
  # ${raw}
  V: |
    1 "${raw}" 4 ; ${raw}
  C: |
    5 "${raw}" (1 4)
tune:
  # ${raw}
  V: |
    E2 | A4 c4 | d6 % ${raw}
# ${raw}
`;
}

const faultyChart = `title: ${quotes(hostile)}
${quotes(`temp\u001b[2J${mark}`)}: x
${raw}: ${raw}
key: ${raw}
tempo: ${raw}
meter: ${raw}
feel: ${raw}
pickup: ${raw}
midi: ${raw}
crooked: ${raw}
singers:
  ${quotes(hostile)}: ${raw}
range: ${raw}
form: Vv, ${raw.replace(/[,:()]/g, '')}, C x${raw.replace(/[,:()]/g, '')}, ((
sections:
  "V\u001b[2J": |
    1 1
  V\u009b: |
    1 ${raw} [${raw} "${raw}
    @${raw} (1 ${raw}) :| x${raw}
  ${quotes(hostile)}: |
    1 1
  D: last 3 of ${raw}
  E: ${raw}
tune:
  ${quotes(hostile)}: |
    A4 ${raw} | ${raw}
  D: |
    ${raw} | A8
  ${raw}: x
`;

/** Its first fault is a section that is nearly one there is, which is quoted where the folder is listed. */
const nearChart = `title: ${quotes(hostile)}
key: A
tempo: 120
meter: 4/4
form: Vu
sections:
  "Vu\u001b": |
    1 1
`;

function setText(name: string): string {
  return `title: ${quotes(hostile)}
date: ${quotes(hostile)}
charts:
  - file: ${quotes(name)}
    singer: ${quotes(hostile)}
    pattern: ${quotes(hostile)}
    notes: ${quotes(hostile)}
    gap: 30
  - file: chart.yaml
    notes: ${quotes(hostile)}
  - break: 1
  - file: chart.yaml
  - file: ${quotes(`missing ${hostileName}`)}
  - file: faulty.yaml
`;
}

const faultySet = `title: ${quotes(hostile)}
${quotes(`char\u001b[2J${mark}`)}: x
charts:
  - file: chart.yaml
    ${quotes(hostile)}: x
    key: ${raw}
    tempo: ${raw}
    form: ${raw}
    passes: ${raw}
    gap: ${raw}
    program: ${raw}
  - break: ${raw}
`;

const settings = `${quotes(`hand\u001b[2J${mark}`)}: x
singers:
  ${quotes(hostile)}: A3-D5
  other: ${raw}
hand: ${raw}
known: ${raw}
voices: ${raw}
chop: ${raw}
outputs:
  ${quotes(hostile)}: ${raw}
keys:
  ${quotes(hostile)}: ${raw}
  play: ${raw}
pedals:
  ${quotes(hostile)}: ${raw}
  next: ${raw}
neck: ${raw}
rest: ${raw}
target: ${raw}
ladder: ${raw}
background: ${raw}
`;

/** A diary with passes, a set, a mark, lines that cannot be read, and a cell that a spreadsheet would calculate. */
function diary(now: number): string {
  const day = 86_400_000;
  const entry = {
    v: 1,
    at: now - day,
    what: 'chart',
    drill: null,
    title: hostile,
    file: hostile,
    changes: [[`${hostile} a`, hostile]],
    key: hostile,
    bpm: 200,
    target: 240,
    pattern: hostile,
    result: 'clean',
    ms: 60_000,
  };
  return [
    entry,
    { ...entry, at: now - 2 * day, what: 'drill', drill: hostile, title: `=1+1 ${mark}` },
    { ...entry, at: now - 3 * day, set: hostile },
    { ...entry, at: now - 3 * day, what: 'later', bar: 2, result: 'unmarked' },
    { ...entry, v: hostile },
    { ...entry, what: hostile },
  ]
    .map((one) => JSON.stringify(one))
    .concat([raw, `{"v":1 ${raw}`])
    .join('\n')
    .concat('\n');
}

const inXml = (text: string): string =>
  [...text].map((sign) => (/[\p{L}\p{N} ]/u.test(sign) ? sign : reference(sign))).join('');

/** XML takes C1 and marks of direction, as references too; of C0 only white space. */
function reference(sign: string): string {
  const code = sign.codePointAt(0) ?? 0;
  return code < 0x20 && !/\s/.test(sign) ? '' : `&#${code};`;
}

const score = `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
<work><work-title>${inXml(hostile)}</work-title></work>
<identification><creator type="composer">${inXml(hostile)}</creator></identification>
<part-list><score-part id="P1"><part-name>${inXml(hostile)}</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>
<direction><direction-type><rehearsal>${inXml(hostile)}</rehearsal></direction-type></direction>
<direction><direction-type><words>${inXml(hostile)}</words></direction-type></direction>
<harmony><root><root-step>C</root-step></root><kind text="${inXml(hostile)}">${inXml(hostile)}</kind></harmony>
<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>
<note><rest/><duration>4</duration></note></measure></part>
</score-partwise>
`;

/** Some seconds of sound in which nothing is played. */
function soundBytes(): Buffer {
  const rate = 16_000;
  const bytes = wavSamples(Float32Array.from({ length: 20 * rate }, (_, at) => 1e-3 * Math.sin(at * at)));
  return Buffer.concat([wavHeader(rate, bytes.length), bytes]);
}
