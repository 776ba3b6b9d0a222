/** A note that sounds, the ticks at which it began and at which its note-off is due, and the voice it belongs to. */
interface SoundingNote {
  readonly key: number;
  readonly from: number;
  /** Where it ends if nothing cuts it. */
  end: number;
  tick: number;
  readonly voice: number;
}

/**
 * The notes that sound, by `channel << 7 | note`, with the ends they are due. Every note-on that leaves
 * the player passes through here, so that none is left without its end.
 */
export class Sounding {
  /** Sorted by tick. A handful at a time. */
  private readonly notes: SoundingNote[] = [];

  /** Whether nothing sounds. */
  get silent(): boolean {
    return this.notes.length === 0;
  }

  /** Tick of the next note-off; infinite when nothing sounds. */
  get nextTick(): number {
    return this.notes[0]?.tick ?? Number.POSITIVE_INFINITY;
  }

  /**
   * Notes a note-on. Answers true when the same note sounded already and must be ended first. `from`: the tick it begins at;
   * `end`: where it would end if nothing ended it sooner.
   */
  start(key: number, endTick: number, voice = 0, from = Number.NEGATIVE_INFINITY, end = endTick): boolean {
    const before = this.notes.findIndex((one) => one.key === key);
    if (before >= 0) this.notes.splice(before, 1);
    this.put({ key, from, end, tick: endTick, voice });
    return before >= 0;
  }

  /** Lets a note of a voice that sounds go on as if it began again; `false` where it does not sound. */
  goOn(key: number, voice: number, from: number, end: number, endTick: number): boolean {
    const at = this.notes.findIndex((one) => one.key === key && one.voice === voice);
    if (at < 0) return false;
    this.notes.splice(at, 1);
    this.put({ key, from, end, tick: endTick, voice });
    return true;
  }

  /** The notes of a voice end where `ending` says, by when they began and would end. */
  endVoice(voice: number, ending: (from: number, end: number) => number): void {
    for (const one of this.notes.filter((note) => note.voice === voice)) {
      this.notes.splice(this.notes.indexOf(one), 1);
      this.put({ ...one, tick: ending(one.from, one.end) });
    }
  }

  /** Takes the note that ends next. */
  takeNext(): number {
    return this.notes.shift()?.key ?? -1;
  }

  /** Takes all notes, in the order of their ends. */
  takeAll(): number[] {
    return this.notes.splice(0).map((one) => one.key);
  }

  /** Takes the notes of some voices. */
  takeVoices(isTaken: (voice: number) => boolean): number[] {
    const taken = this.notes.filter((one) => isTaken(one.voice));
    for (const one of taken) this.notes.splice(this.notes.indexOf(one), 1);
    return taken.map((one) => one.key);
  }

  private put(note: SoundingNote): void {
    let place = this.notes.length;
    while (place > 0 && (this.notes[place - 1] as SoundingNote).tick > note.tick) place -= 1;
    this.notes.splice(place, 0, note);
  }
}
