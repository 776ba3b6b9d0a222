/** How often to check whether the parent is still there, ms. */
const lookMs = 200;

/** What is known of the parent: its process id as the system has it now, and whether it can be talked to. */
export interface ParentSigns {
  readonly pid: () => number;
  readonly connected: () => boolean;
}

/**
 * Notices that the parent has gone, asked from the player's own loop: an event alone would not be heard where the loop has
 * no time for events. May be asked at any rate; looks five times a second.
 */
export class ParentWatch {
  private looked = Number.NEGATIVE_INFINITY;
  private told = false;

  /** `parent` is the process that started this one; `onGone` is called once. */
  constructor(
    private readonly parent: number,
    private readonly now: () => number,
    private readonly onGone: () => void,
    private readonly signs: ParentSigns = { pid: () => process.ppid, connected: () => process.connected },
  ) {}

  /** Whether the parent has gone, as far as can be seen now. */
  get gone(): boolean {
    // An orphan gets another parent, whatever its channel says.
    return this.signs.pid() !== this.parent || !this.signs.connected();
  }

  readonly look = (): void => {
    const now = this.now();
    if (this.told || now - this.looked < lookMs) return;
    this.looked = now;
    if (!this.gone) return;
    this.told = true;
    this.onGone();
  };
}
