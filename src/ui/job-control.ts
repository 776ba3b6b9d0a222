/**
 * The shell's job control: when the program is to stop, by a key or a stop signal from elsewhere, it first leaves
 * (what sounds, the terminal), then stops; when it is called to the foreground again it comes back.
 */
export class JobControl {
  private away = false;

  /**
   * `asked`: a stop signal came; the program then calls `suspend`. `leave` is waited for before the program stops.
   * `comeBack` is called whenever it is continued.
   */
  constructor(
    private readonly asked: () => void,
    private readonly leave: () => Promise<unknown>,
    private readonly comeBack: () => void,
  ) {
    process.on('SIGTSTP', this.asked);
    process.on('SIGCONT', this.continued);
  }

  /** Stops the program with all that the shell started together with it. */
  readonly suspend = async (): Promise<void> => {
    if (this.away) return;
    this.away = true;
    await this.leave();
    // It may have been closed, or continued, meanwhile.
    if (!this.away) return;
    // Without a listener the signal does what it does by itself. Where nobody could call the program back (it has no shell),
    // the system ignores it, and the program goes on at once.
    process.off('SIGTSTP', this.asked);
    process.kill(0, 'SIGTSTP');
    setTimeout(() => {
      if (this.away) this.continued();
    }, 50);
  };

  /** Signals are no longer listened to. */
  close(): void {
    this.away = false;
    process.off('SIGTSTP', this.asked);
    process.off('SIGCONT', this.continued);
  }

  private readonly continued = (): void => {
    if (this.away) {
      process.off('SIGTSTP', this.asked);
      process.on('SIGTSTP', this.asked);
    }
    this.away = false;
    this.comeBack();
  };
}
