/** A note that sounds, the tick at which its note-off is due, and the voice it belongs to. */
interface SoundingNote {
  readonly key: number;
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

  /** Notes a note-on. Answers true when the same note sounded already and must be ended first. */
  start(key: number, endTick: number, voice = 0): boolean {
    const before = this.notes.findIndex((one) => one.key === key);
    if (before >= 0) this.notes.splice(before, 1);
    let place = this.notes.length;
    while (place > 0 && (this.notes[place - 1] as SoundingNote).tick > endTick) place -= 1;
    this.notes.splice(place, 0, { key, tick: endTick, voice });
    return before >= 0;
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
}
