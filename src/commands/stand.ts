import { basename, resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { meterText } from '../chart/chart.js';
import { shortTempo } from '../chart/label.js';
import { chartFiles } from '../config/files.js';
import { folders } from '../config/folders.js';
import { recall, remember } from '../config/remembered.js';
import { latenessText } from '../player/lateness.js';
import { outText } from '../player/out-spec.js';
import type { DocumentContent } from '../setlist/document.js';
import { keyName, withSigns } from '../theory/key.js';
import type { Library, LibraryItem, Message, SongWishes } from '../ui/model.js';
import type { Look } from '../ui/theme.js';
import { Stop, say } from './exit.js';
import { type Loaded, load, songPath } from './load.js';
import { outputsFor } from './outputs.js';
import { setSettings } from './plan-flags.js';
import { standStart } from './play.js';
import type { PlayFlags } from './play-options.js';
import { followFlag } from './play-sound.js';

/** What the stand is opened with: a chart or set, or the list of a folder, or of the user's and the demo ones. */
export interface StandCall {
  readonly file?: string;
  readonly folder?: string;
  readonly flags: PlayFlags;
}

const noWishes: SongWishes = { key: null, bpm: null };

/** Opens the full screen and runs it until it is left. */
export async function openStand(call: StandCall): Promise<number> {
  // React and Ink read both when they are first imported: one for speed, the other because with CI set Ink draws nothing.
  process.env.NODE_ENV = 'production';
  for (const name of Object.keys(process.env)) {
    if (name === 'CI' || name === 'CONTINUOUS_INTEGRATION' || name.startsWith('CI_'))
      delete process.env[name];
  }
  const { openScreen } = await import('../ui/open.js');
  const look = lookOf(call.flags);
  const first =
    call.file === undefined
      ? [libraryMessage(call.folder, look)]
      : [openFile(call.file, noWishes, call.flags, look)];
  const outputs = outputsFor(call.flags, setSettings());
  return openScreen({
    look,
    ...outputs,
    follow: followFlag(call.flags.follow),
    onLateness: call.flags.stats ? (report) => say(latenessText(report)) : null,
    first,
    open: (file, wishes) => {
      remember({ last: file });
      return openFile(file, wishes, {}, look);
    },
    rememberOutput: (out) => remember({ out: outText(out) }),
  });
}

/** What the terminal can show: colour unless NO_COLOR is set, Unicode unless it is turned off or the locale lacks it. */
export function lookOf(flags: PlayFlags, env: NodeJS.ProcessEnv = process.env): Look {
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG || '';
  const poor = env.TERM === 'linux' || (locale !== '' && !/utf-?8/i.test(locale));
  return { colour: !env.NO_COLOR && env.TERM !== 'dumb', unicode: flags.unicode !== false && !poor };
}

function openFile(file: string, wishes: SongWishes, flags: PlayFlags, look: Look): Message {
  try {
    const loaded = load(file);
    if (!loaded.content) return { kind: 'open-failed', reason: firstFault(loaded) };
    if (loaded.content.kind === 'set')
      return { kind: 'library', library: setLibrary(file, loaded.content, look) };
    if (loaded.content.kind === 'instrument' || loaded.content.kind === 'pattern')
      return { kind: 'open-failed', reason: `this is ${withArticle(loaded.content.kind)}, not a chart` };
    const { chart } = loaded.content;
    const entry = {
      key: wishes.key,
      tempo: wishes.bpm === null ? null : { ...chart.tempo, bpm: wishes.bpm },
    };
    return { kind: 'chart-opened', file, chart, start: standStart(chart, entry, flags) };
  } catch (error) {
    if (error instanceof Stop) return { kind: 'open-failed', reason: error.what };
    throw error;
  }
}

function withArticle(kind: 'instrument' | 'pattern'): string {
  return `${kind === 'instrument' ? 'an' : 'a'} ${kind}`;
}

function firstFault({ file, faults }: Loaded): string {
  const fault = faults.find((one) => one.severity === 'error');
  return fault
    ? `${safeText(basename(file))}:${fault.line}:${fault.column}: ${fault.message}`
    : 'it cannot be read';
}

/** The list shown first: the given folder's, else the user's own charts and the demo ones; what was played last comes first. */
function libraryMessage(folder: string | undefined, look: Look): Message {
  const files =
    folder === undefined ? [...chartFiles(folders.charts), ...chartFiles(folders.demo)] : chartFiles(folder);
  const { last } = recall();
  const items = files
    .map((file) => fileItem(resolve(file), look))
    .sort((one, other) => Number(other.file === last) - Number(one.file === last));
  if (items.length === 0)
    throw new Stop(
      2,
      `there is no chart in ${safeText(folder ?? folders.charts)}`,
      'a chart is a .yaml file; the demo charts show how one is written',
    );
  return { kind: 'library', library: { title: 'Charts and sets', items, index: 0, from: null } };
}

function fileItem(file: string, look: Look, wishes: SongWishes = noWishes): LibraryItem {
  let loaded: Loaded;
  try {
    loaded = load(file);
  } catch (error) {
    if (error instanceof Stop)
      return { file, kind: 'faulty', title: safeText(basename(file)), detail: error.what, wishes };
    throw error;
  }
  const { content } = loaded;
  if (!content)
    return { file, kind: 'faulty', title: safeText(basename(file)), detail: firstFault(loaded), wishes };
  if (content.kind === 'set')
    return {
      file,
      kind: 'set',
      title: safeText(content.set.title),
      detail: `${content.set.entries.length} songs`,
      wishes,
    };
  if (content.kind === 'instrument' || content.kind === 'pattern')
    return {
      file,
      kind: 'faulty',
      title: safeText(content.kind === 'instrument' ? content.instrument.name : content.pattern.name),
      detail: `${withArticle(content.kind)}, not a chart`,
      wishes,
    };
  const { chart } = content;
  const key = keyName(wishes.key ?? chart.key);
  const tempo = shortTempo({ ...chart.tempo, bpm: wishes.bpm ?? chart.tempo.bpm }, look.unicode);
  const detail = `${(look.unicode ? withSigns(key) : key).padEnd(4)} ${tempo.padEnd(12)} ${meterText(chart.meter)}`;
  return { file, kind: 'chart', title: safeText(chart.title), detail, wishes };
}

function setLibrary(file: string, { set }: Extract<DocumentContent, { kind: 'set' }>, look: Look): Library {
  const items = set.entries.map((entry, index) =>
    fileItem(songPath(file, set, index), look, { key: entry.key, bpm: entry.tempo?.bpm ?? null }),
  );
  return { title: safeText(set.title), items, index: 0, from: null };
}
