import { basename } from 'node:path';
import { fileNameOf } from '../base/file-name.js';
import { safeText } from '../base/safe-text.js';
import { keepChoices } from '../config/choices.js';
import { appendLine, diaryPath, settingsFolder, type Who } from '../config/diary-file.js';
import { keepHints, recallHints } from '../config/hints-file.js';
import { keepPedals, recallPedals } from '../config/pedal-file.js';
import { remember } from '../config/remembered.js';
import { forgetRun, keepRun } from '../config/run-file.js';
import { readSettings, type Settings } from '../config/settings.js';
import { forgetTranscript, keepTranscript } from '../config/transcript-file.js';
import { type Writing, writeChartText, writeNewChart } from '../config/write-chart.js';
import { latenessText } from '../player/lateness.js';
import type { InSpec } from '../player/messages.js';
import { outText } from '../player/out-spec.js';
import { diaryLine } from '../shed/diary.js';
import { weakSongs } from '../shed/weak-songs.js';
import { bindingsWith, settingNames } from '../ui/keys/bindings.js';
import { isKeyName } from '../ui/keys/names.js';
import type { BandCall } from '../ui/state/band.js';
import { type HintName, hintNames } from '../ui/state/hint-names.js';
import type { Message } from '../ui/state/messages.js';
import { type ScreenSettings, usualRestAfter } from '../ui/state/model.js';
import type { Surroundings } from '../ui/surroundings.js';
import { bandCall } from './band-call.js';
import { nameFlag } from './band-flags.js';
import { Stop, say } from './exit.js';
import { followStart } from './follow-start.js';
import { firstLibrary, readLater, requestLibrary } from './library.js';
import { listeningFlags } from './listening-flags.js';
import { asksBackground, lookOf } from './look.js';
import { requestSong } from './open-set.js';
import { followerOutputs, outputsFor } from './outputs.js';
import type { PlayFlags } from './play-options.js';
import { followFlag, pedalFlag } from './play-sound.js';
import { whenOutputFails } from './print.js';
import { loadScreen } from './screen.js';
import { recentPractice } from './shed-common.js';
import { noWishes, SongFiles } from './song-files.js';
import { type Opening, openFile, openItem, runOf } from './stand-items.js';

/** How it is played without a screen. */
export interface PlainCall {
  /** It begins to play as soon as it can. */
  readonly begins: boolean;
  /** A leader waits for so many stands. */
  readonly wait?: number;
}

/** What the stand is opened with: a chart or set, or the list of a folder, or of the user's and the demo ones. */
export interface StandCall {
  readonly file?: string;
  readonly folder?: string;
  /** `instrument`: what shapes are planned for that come from a leader. */
  readonly flags: PlayFlags & { readonly instrument?: string };
  /** What is shown first, where it is neither a file nor a list. */
  readonly first?: (opening: Opening) => Message;
  /** Whose diary and settings. */
  readonly who?: Who;
  /** How it meets a band; without it a band is led by the usual ways, as soon as its player leads. */
  readonly band?: BandCall;
  /** Without a screen, with typed commands. */
  readonly plain?: PlainCall;
}

/** Opens the full screen, or the stand without one, and runs it until it is left. */
export async function openStand(call: StandCall): Promise<number> {
  if (call.plain) return openPlainly(call, call.plain);
  const screen = loadScreen();
  const surroundings = surroundingsOf(call);
  const { openScreen } = await screen;
  // A terminal that has gone is not a full disk: the screen handles it.
  whenOutputFails(() => {});
  return openScreen(surroundings);
}

async function openPlainly(call: StandCall, { begins, wait = 0 }: PlainCall): Promise<number> {
  const { openTyped } = await import('./typed-stand.js');
  // Signs are written as words.
  const surroundings = surroundingsOf({ ...call, flags: { ...call.flags, unicode: false } });
  const listing = { look: surroundings.look, songs: new SongFiles() };
  return openTyped(surroundings, {
    begins,
    wait,
    library: () => {
      try {
        return { kind: 'library', library: firstLibrary(call.folder, listing) };
      } catch (error) {
        if (error instanceof Stop) return error.what;
        throw error;
      }
    },
  });
}

function surroundingsOf(call: StandCall): Surroundings {
  const who = call.who ?? null;
  const { settings, faults } = readSettings(settingsFolder(who), { actions: settingNames, isKey: isKeyName });
  const look = lookOf(call.flags, settings);
  const songs = new SongFiles();
  const opening: Opening = { flags: call.flags, settings, look, songs };
  const first = firstMessage(call, opening);
  const outputs =
    call.band?.begins === 'join' ? followerOutputs(call.flags, settings) : outputsFor(call.flags, settings);
  const follow = followFlag(call.flags.follow);
  const pedals = pedalsOf(call.flags, settings);
  const { on, listening } = listeningFlags(call.flags, settings);
  return {
    look,
    asksBackground: asksBackground(look, settings),
    settings: {
      ...screenSettings(settings),
      pedals: pedals.known,
      hints: recallHints(hintNames) as readonly HintName[],
    },
    ...outputs,
    follow,
    onFailure: (message) =>
      say(`barkline failed: ${message}`, 'please report it, with what you did before it happened'),
    onLateness: call.flags.stats ? (report) => say(latenessText(report)) : null,
    // What is wrong with the settings is told on the screen, once.
    first: [
      first,
      ...(on ? [{ kind: 'action', action: 'listen', at: 0 } as const] : []),
      ...faults.slice(0, 1).map(
        (reason) =>
          ({
            kind: 'open-failed',
            // The file’s name is enough, where the sentence begins with its path.
            reason: safeText(reason.slice(Math.max(0, reason.indexOf('settings.yaml')))),
          }) as const,
      ),
    ],
    open: (file, wishes, kind) => {
      remember({ last: file });
      return openItem(file, wishes, kind, { ...opening, flags: {} });
    },
    keep: (file, choices, played) => keepChoices(file, choices, played ? Date.now() : null),
    write: (file, text, before) => written(writeChartText(file, text, before), file, text),
    writeCopy: (file, name, text) => written(writeNewChart(chartFileName(name), text), file, text),
    writeNew: (title, text) => {
      const writing = writeNewChart(chartFileName(title), text);
      if (!writing.ok) return { kind: 'not-written', reason: safeText(writing.reason) };
      const says = `kept as ${safeText(writing.file)}`;
      return { kind: 'written', of: '', file: writing.file, text, says, open: true };
    },
    record: (record, result) => appendLine(diaryPath(who), diaryLine({ ...record, at: Date.now(), result })),
    rememberOutput: (out) => remember({ out: outText(out) }),
    keepRun: (file, run) => (run ? keepRun(file, run) : keptNoMore(() => forgetRun(file))),
    keepTranscript: (name, taken) =>
      taken ? keepTranscript(name, { ...taken, at: Date.now() }) : keptNoMore(() => forgetTranscript(name)),
    requests: () => ({ kind: 'requests', library: requestLibrary(call.file, opening) }),
    request: (file, id) => requestSong(file, id, { flags: {}, settings }),
    readItem: (file) => readLater(file, opening),
    keepItems: () => songs.keep(),
    weakSongs: () => weakSongs(recentPractice(who)),
    keepOrder: (order) => remember({ order }),
    keepHints,
    keepPedals,
    listening,
    band: call.band ?? ownBand(),
    followStart: followStart(call.flags, settings),
    pedalsFrom: pedals.from,
  };
}

/** Nobody has asked for a band: its player may lead one, with a word that is made then. */
function ownBand(): BandCall {
  const place = { word: null, address: null, port: null, ca: null, name: nameFlag(undefined, 'mandolin') };
  return bandCall({ part: 'mandolin' }, place, null);
}

/** The pedals that are known, and where they are listened for: where none is known and no source named, nowhere. */
function pedalsOf(flags: PlayFlags, { pedals }: Settings) {
  const known = [...pedals.known, ...recallPedals()];
  const named = pedalFlag(flags.pedal) ?? pedals.from;
  const from: readonly InSpec[] | 'all' | null = named ? [named] : known.length > 0 ? 'all' : null;
  return { known, from };
}

function firstMessage(call: StandCall, opening: Opening): Message {
  if (call.first) return call.first(opening);
  return call.file === undefined
    ? { kind: 'library', library: firstLibrary(call.folder, opening) }
    : (runOf(call.file, opening) ?? openFile(call.file, noWishes, opening));
}

function keptNoMore(forget: () => void): null {
  forget();
  return null;
}

/** A file name for a chart, made from a title or a file name that was typed. */
function chartFileName(text: string): string {
  return `${fileNameOf(text.replace(/\.ya?ml$/i, ''))}.yaml`;
}

function written(writing: Writing, file: string, text: string): Message {
  if (!writing.ok) {
    const { reason, elsewhere: why } = writing;
    const elsewhere = why === null ? null : { why, name: safeText(basename(file)) };
    return { kind: 'not-written', reason: safeText(reason), of: file, elsewhere };
  }
  const says =
    writing.file === file
      ? 'written; r undoes it'
      : `written to ${safeText(writing.file)}; the original chart is unchanged`;
  return { kind: 'written', of: file, file: writing.file, text, says, open: false };
}

function screenSettings({ keys, rest, ladder }: Settings): ScreenSettings {
  return {
    ladder,
    bindings: bindingsWith(keys),
    restAfter: rest === undefined ? usualRestAfter : rest === null ? null : rest * 60_000,
  };
}
