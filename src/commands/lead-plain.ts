import { leads, quiet, type SharedSet, steps } from '../band/band.js';
import { lead, shareNotes, shareSet } from '../band/say.js';
import type { Settings } from '../config/settings.js';
import { neckSight } from '../hand/neck-sight.js';
import { readyAt } from '../playback/performance.js';
import { unmoved } from '../playback/session.js';
import { hrtimeMs } from '../player/host.js';
import type { DocumentContent } from '../setlist/document.js';
import type { SetList } from '../setlist/set.js';
import { keyName } from '../theory/key.js';
import { type BandFlags, bandCapo } from './band-flags.js';
import { type BandPlace, meet } from './band-meeting.js';
import { exit } from './exit.js';
import { followSong } from './follow-song.js';
import { loadChart, songPath } from './load.js';
import { outputsFor } from './outputs.js';
import { isLed, overFor } from './over.js';
import { PlainBand } from './plain-band.js';
import { chartStart, type PlainStart, setSongStart } from './plain-chart.js';
import { lastWords, writePatiently } from './plain-terminal.js';
import type { PlayFlags } from './play-options.js';
import { settingsOf } from './settings.js';

/** How long to wait for the network before the music begins without it, ms. */
const networkMs = 5000;
/** After the last song the others come to their end before the leader takes leave, ms. */
const lingerMs = 1000;

/** The longest title and line of notes that is shared, characters. */
const mostNote = 200;

/** One song that is led. */
interface LedSong extends PlainStart {
  /** Notes for all. */
  readonly notes: readonly string[];
  /** Silence before it, ms. */
  readonly gapMs: number;
}

/** What a plain leader is called with. */
export interface LeadPlain {
  readonly file: string;
  readonly content: Extract<DocumentContent, { kind: 'chart' | 'set' }>;
  readonly flags: PlayFlags & BandFlags & { readonly wait?: number; readonly class?: boolean };
  readonly place: BandPlace;
}

/** Leads a chart or a set to its end, a line a bar. Answers the exit status. */
export async function leadPlain(call: LeadPlain): Promise<number> {
  writePatiently();
  const leading = new LeadingPlainly(call);
  try {
    return await leading.run();
  } finally {
    await lastWords();
  }
}

/** The songs of a call, one after the other, for a band. */
class LeadingPlainly {
  private readonly stand: PlainBand;
  private readonly songs: readonly LedSong[];
  private readonly set: SetList | null;
  private next = 0;
  private due: NodeJS.Timeout | null = null;
  private readonly began = hrtimeMs();

  constructor({ file, content, flags, place }: LeadPlain) {
    const settings = settingsOf();
    const { part = 'mandolin', wait = 0 } = flags;
    this.set = content.kind === 'set' ? content.set : null;
    this.songs =
      content.kind === 'chart'
        ? [{ ...chartStart(content.chart, null, flags, settings), notes: [], gapMs: 0 }]
        : setSongs(file, content.set, flags, settings);
    const neck = neckSight(settings.neck, settings.hand);
    const seen = { part, name: place.name, capo: bandCapo(flags.capo), neck };
    this.stand = new PlainBand({
      ...seen,
      begins: 'lead',
      isClass: flags.class ?? false,
      outputs: outputsFor(flags, settings),
      stats: flags.stats ?? false,
      open: (onEvent) => meet(place, 'lead', onEvent),
      put: followSong(flags, settings, null),
      onUp: lead,
      onStep: ({ band, player }) => {
        const networkGone = wait === 0 && hrtimeMs() - this.began >= networkMs;
        if (this.next === 0 && (leads(band) || networkGone) && band.members.size >= wait) this.begin();
        if (overFor(band, player.session, hrtimeMs())) player.end(exit.done);
      },
      onStopped: () => this.goOn(),
    });
  }

  async run(): Promise<number> {
    const look = setInterval(() => this.stand.player.step(unmoved), 500);
    try {
      return await this.stand.run();
    } finally {
      clearInterval(look);
      if (this.due) clearTimeout(this.due);
    }
  }

  /** Puts the next song on the stand; it begins as soon as it is ready. */
  private begin(): void {
    const at = this.next;
    const song = this.songs[at];
    if (!song || isLed(this.stand.band)) return;
    this.next += 1;
    const { set, songs } = this;
    this.stand.act(
      (band, now) =>
        steps(
          quiet(band),
          (one) => (set ? shareSet(one, orderOf(set, songs, at), now) : quiet(one)),
          (one) => (at === 0 && song.notes.length === 0 ? quiet(one) : shareNotes(one, song.notes, now)),
        ),
      (session) => unmoved({ ...session, performance: { ...readyAt(song.setup, song.from), eager: true } }),
    );
  }

  /** A song has come to its end. After the last one the others come to theirs before the leader takes leave. */
  private goOn(): void {
    const { band, player } = this.stand;
    if (isLed(band)) return;
    const song = this.songs[this.next];
    const wait = song ? song.gapMs : band.members.size > 0 ? lingerMs : 0;
    this.due = setTimeout(() => (song ? this.begin() : player.end(exit.done)), wait);
  }
}

function setSongs(file: string, set: SetList, flags: PlayFlags, settings: Settings): readonly LedSong[] {
  return set.entries.map((entry, index) => ({
    ...setSongStart(loadChart(songPath(file, set, index)), entry, flags, settings),
    notes: entry.notes === null ? [] : entry.notes.split('\n').map((line) => line.slice(0, mostNote)),
    // Here nobody can begin the song, so a gap that waits has no length.
    gapMs: 1000 * ((entry.gap === 'wait' ? 0 : (entry.gap ?? 0)) + 60 * entry.breakBefore),
  }));
}

function orderOf({ title }: SetList, songs: readonly LedSong[], at: number): SharedSet {
  return {
    title: title.slice(0, mostNote),
    songs: songs.map(({ setup: { chart, key } }) => ({
      title: chart.title.slice(0, mostNote),
      key: keyName(key),
    })),
    at,
  };
}
