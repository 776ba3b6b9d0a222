// The least that drawing on the beat can be: a plain timer for each beat, and a line written then. What the stand's drawn beat is
// measured against. node stand-floor.mjs MS: writes "due NS" at every beat, the time at which that was due.
const beatNs = BigInt(Math.round(Number(process.argv[2]) * 1e6));
let due = process.hrtime.bigint() + 100_000_000n;

function wait() {
  const ms = Number(due - process.hrtime.bigint()) / 1e6;
  // Whole ms, upward, as the stand waits for its beats.
  setTimeout(write, Math.max(0, Math.ceil(ms + 0.2)));
}

function write() {
  process.stdout.write(`due ${due}\n`);
  due += beatNs;
  wait();
}

wait();
