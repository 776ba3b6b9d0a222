/**
 * The shell's job control: Ctrl-Z, or a stop signal from elsewhere, gives the terminal back and stops the program;
 * when it is called to the foreground again it takes the terminal and draws everything anew.
 */
export class JobControl {
  private away = false;

  constructor(
    private readonly leave: () => void,
    private readonly comeBack: () => void,
  ) {
    process.on('SIGTSTP', this.suspend);
    process.on('SIGCONT', this.continued);
  }

  /** Stops the program with all that the shell started together with it. */
  readonly suspend = (): void => {
    if (this.away) return;
    this.away = true;
    this.leave();
    // Without a listener the signal does what it does by itself. Where nobody could call the program back (it has no shell),
    // the system ignores it, and the program goes on at once.
    process.off('SIGTSTP', this.suspend);
    process.kill(0, 'SIGTSTP');
    setTimeout(() => {
      if (this.away) this.continued();
    }, 50);
  };

  /** Signals are no longer listened to. */
  close(): void {
    process.off('SIGTSTP', this.suspend);
    process.off('SIGCONT', this.continued);
  }

  private readonly continued = (): void => {
    if (this.away) process.on('SIGTSTP', this.suspend);
    this.away = false;
    this.comeBack();
  };
}
