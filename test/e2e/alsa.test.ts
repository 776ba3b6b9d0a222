import { execFileSync } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import MidiFile from 'midifile';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { midiPackages } from '../../src/player/midi-library.js';
import { arrange } from '../../src/time/arrange.js';
import { clickNotes } from '../../src/time/click.js';
import { cleanEnv, demo, freshFolder, root } from './harness.js';
import { installTarball, type Tarball, writable } from './installed.js';

/** A machine with the ALSA sequencer and sound cards, emulated: its time is its own, so that it is the same on a busy machine. */
const { guestIsHere, inSteadyGuest } = (await import('./steady-guest.mjs' as string)) as {
  guestIsHere: boolean;
  inSteadyGuest: (script: string, folder: string, seconds: number) => Promise<string>;
};
const { alsaGuest } = (await import('./outside.mjs' as string)) as { alsaGuest: string };
/** So long a script may take, s of this machine's time, where it is busy with other things; each thing in it has its own limit. */
const mostSeconds = 1500;
const folder = freshFolder();
chmodSync(folder.path, 0o755);
afterAll(() => {
  writable(join(folder.path, 'prefix'));
  folder.remove();
});

/** Runs a script in the same machine with the time of this one: sound is soon over there, and is even where nothing else is busy. */
function inGuest(script: string, home: string): void {
  const path = join(home, 'script.sh');
  writeFileSync(path, script);
  execFileSync(alsaGuest, ['--timeout', '600', '--', 'bash', path], {
    cwd: root,
    encoding: 'utf8',
    env: cleanEnv('/tmp', { ALSA_GUEST_OUT: join(home, 'out') }),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
}

if (!guestIsHere) console.log('left out: the tests of ALSA ports and sound need BARKLINE_ALSA_GUEST');

/** Whether a package loads here: the guest sees the same installation, and is not begun for one that would not. */
function loads(name: string): boolean {
  try {
    createRequire(import.meta.url)(name);
    return true;
  } catch {
    return false;
  }
}

/** A program that runs there, with the lines of a script that make ready for it. */
interface Program {
  readonly before: string;
  readonly command: string;
  readonly charts: string;
  /** Where it was installed from it. */
  readonly tarball?: Tarball;
}

/** What the tarball gives, installed where nothing can be compiled, run by an ordinary user, who may not write to it. */
async function fromTarball(): Promise<Program> {
  const tarball = await installTarball(folder.path);
  return {
    tarball,
    before:
      'chmod a+rw /dev/snd/*; mkdir -p /tmp/state /tmp/pedals/barkline; chmod 777 /tmp/state /tmp/pedals /tmp/pedals/barkline',
    command: `setpriv --reuid=65534 --regid=65534 --clear-groups ${tarball.command}`,
    charts: join(tarball.installed, 'charts'),
  };
}

/** What is built in the project's folder, with the package that was compiled for it alone. */
const fromTree: Program = {
  // What is removed in the guest is removed for the guest alone.
  before: 'rm -rf node_modules/@julusian/midi',
  command: 'node dist/start.js',
  charts: join(root, 'charts'),
};

for (const name of midiPackages)
  if (guestIsHere && !loads(name))
    console.log(
      `left out: the tests of ALSA ports with the package ${name}, which does not load here; ${name === 'midi' ? 'install g++, make, python3 and libasound2-dev, and ' : ''}run npm install again`,
    );

it.runIf(guestIsHere)('has a package to reach ALSA’s ports with', () => {
  expect(midiPackages.filter(loads), 'none loads; run npm install again').not.toEqual([]);
});

/** What was compiled is tried from the tree, what brings its programs with it from the tarball: so has a stranger. */
describe.each([
  ['midi', 'the tree'],
  ['@julusian/midi', 'the tarball'],
] as const)('in a machine with ALSA, through %s, from %s', (library, origin) => {
  if (!guestIsHere || !loads(library)) {
    it.skip('needs the emulated machine, and the package', () => {});
    return;
  }
  const home = join(folder.path, library);
  const out = join(home, 'out');
  let printed = '';
  let tarball: Tarball | undefined;
  // One boot serves all: what was printed, and what was recorded. Nothing in it waits without end.
  beforeAll(
    async () => {
      mkdirSync(home, { recursive: true });
      const program = origin === 'the tarball' ? await fromTarball() : fromTree;
      const { before, command: barkline, charts } = program;
      tarball = program.tarball;
      printed = await inSteadyGuest(
        `
      ${before}
      ${barkline} ports | tee /tmp/ports
      # Without ports nothing below would end before its time.
      grep -q 'midi:1' /tmp/ports || exit 3
      arecordmidi -p 14:0 "$OUT/played.mid" & recorder=$!
      sleep 2
      timeout 120 ${barkline} play ${charts}/tollhouse-kettle.yaml --plain --out 'midi:Midi Through' --loop 3-4 --voices click,bass,low,chop
      sleep 1
      kill -INT $recorder; wait $recorder
      # A synthesizer of whom only the name is known here; it goes in mid-song, and comes back.
      waits() { for _ in $(seq 400); do grep -q "$1" "$2" && return; sleep 0.1; done; }
      stdbuf -oL aseqdump > "$OUT/first.txt" & synth=$!
      sleep 1
      timeout 120 ${barkline} play ${charts}/sluice-gate-morning.yaml --plain --out midi:aseqdump --loop 1-16 --passes 3 --stats 2> "$OUT/gone.err" & player=$!
      waits 'Note on' "$OUT/first.txt"; sleep 2; kill $synth
      waits 'has gone' "$OUT/gone.err"
      stdbuf -oL aseqdump > "$OUT/second.txt" & synth=$!
      wait $player; sleep 1; kill $synth
      # A pedal's message, sent with the system's own player of MIDI files, begins a song and leads to the next card.
      printf 'MThd\\0\\0\\0\\6\\0\\0\\0\\1\\0\\x60MTrk\\0\\0\\0\\x0c\\0\\xb0\\x40\\x7f\\0\\xb0\\x40\\0\\0\\xff\\x2f\\0' > /tmp/press.mid
      printf 'title: Pedals\\ncharts:\\n  - file: %s/weir-hands.yaml\\n    form: V\\n    gap: wait\\n  - file: %s/tollhouse-kettle.yaml\\n    gap: wait\\n' ${charts} ${charts} > /tmp/set.yaml
      mkdir -p /tmp/pedals/barkline; printf 'pedals:\\n  play: control 64\\n' > /tmp/pedals/barkline/settings.yaml
      export XDG_CONFIG_HOME=/tmp/pedals XDG_STATE_HOME=/tmp/pedals
      tmux new-session -d -s set -x 100 -y 30 "${barkline} play /tmp/set.yaml --tempo 240 --out none"
      sees() { for _ in $(seq 600); do tmux capture-pane -p -t set | grep -q "$1" && { echo "pedal: $1"; return; }; sleep 0.1; done; echo "never: $1"; tmux capture-pane -p -t set; }
      sees 'the pedal begins'
      # It listens on every source: the loop is one.
      for _ in $(seq 300); do aconnect -l | grep -q 'Connecting To.*RtMidi\\|Connecting To: 12[89]' && break; sleep 0.1; done; sleep 1
      aplaymidi -p 14:0 /tmp/press.mid
      sees 'pass 1 of 1'
      sees 'Tollhouse Kettle'
      sees 'the pedal begins'
      aplaymidi -p 14:0 /tmp/press.mid
      sees 'pass 1 of 1'
      tmux kill-server
      # One leads by its clock, the other follows it through the port that both have.
      timeout 120 ${barkline} play ${charts}/tollhouse-kettle.yaml --plain --out none --follow 'midi:Midi Through' --loop 1-4 > "$OUT/followed.txt" 2> "$OUT/followed.err" & follower=$!
      waits 'waiting for the clock' "$OUT/followed.err"
      timeout 120 ${barkline} play ${charts}/tollhouse-kettle.yaml --plain --out 'midi:Midi Through' --send-clock --loop 1-4 --passes 2 --tempo 60 > /dev/null
      sleep 1; kill -INT $follower; wait $follower
      true`,
        home,
        mostSeconds,
      );
    },
    mostSeconds * 1000 + 60_000,
  );

  it.runIf(origin === 'the tarball')('is installed without a compiler, and with that package alone', () => {
    expect(tarball?.installation).toMatchObject({ status: 0 });
    const has = midiPackages.filter((name) =>
      existsSync(join(tarball?.installed ?? '', 'node_modules', name)),
    );
    expect(has).toEqual([library]);
  });

  it('begins a run and leads it on by a pedal’s message, sent with a standard tool', () => {
    expect(printed).not.toContain('never:');
    expect(printed.match(/pedal: .*/g)).toEqual([
      'pedal: the pedal begins',
      'pedal: pass 1 of 1',
      'pedal: Tollhouse Kettle',
      'pedal: the pedal begins',
      'pedal: pass 1 of 1',
    ]);
  });

  it('lists Midi Through among the ports, both ways, and says through which package', () => {
    expect(printed).toContain(`MIDI destinations (through the package ${library}):`);
    expect(printed.match(/midi:1 +Midi Through/g)).toHaveLength(2);
  });

  it('follows a clock that comes in at a port, bar by bar', () => {
    const followed = readFileSync(join(out, 'followed.txt'), 'utf8');
    expect(readFileSync(join(out, 'followed.err'), 'utf8')).toContain(
      'follows the clock of MIDI Midi Through',
    );
    // It is led through its four bars, and played once.
    expect(followed.match(/pass 1 bar (\d+)/g)).toEqual([1, 2, 3, 4].map((bar) => `pass 1 bar ${bar}`));
  });

  it('sends the expected notes in the expected order', () => {
    const reading = readChart(readFileSync(demo('tollhouse-kettle')));
    if (!reading.ok) throw new Error('the demo chart does not read');
    const { score } = arrange(reading.value, { key: reading.value.key, share: 1, instrument: mandolin });
    const counted = score.bars[2];
    if (!counted) throw new Error('the chart has no third bar');
    // Within an instant the click goes first, then the rest by voice and pitch.
    const order = ['click', 'bass', 'low', 'chop'];
    const played = [2, 3].map((bar) => [
      ...clickNotes(score.bars[bar] ?? counted),
      ...(score.notes[bar] ?? []),
    ]);
    const bars = [clickNotes(counted), ...played];
    const wanted = bars.flatMap((notes) =>
      [...notes]
        .sort(
          (one, other) =>
            one.at - other.at ||
            order.indexOf(one.voice) - order.indexOf(other.voice) ||
            one.note - other.note,
        )
        .map((note) => [0x90 | note.channel, note.note]),
    );
    const file = readFileSync(join(out, 'played.mid'));
    const { ons, offs } = notesOf(file);
    expect(notesOfAgain(file)).toEqual({ ons, offs });
    expect(ons).toEqual(wanted);
    expect([...offs].sort()).toEqual(wanted.map(([status, note]) => [(status ?? 0) & 0x8f, note]).sort());
  });

  it('says when a port vanishes in mid-song, goes on, and takes it up again when it is back', () => {
    const told = readFileSync(join(out, 'gone.err'), 'utf8');
    expect(told).toMatch(/MIDI aseqdump.* has gone; time goes on/);
    expect(told).toMatch(/MIDI aseqdump.* is back/);
    const count = (name: string, what: RegExp): number =>
      readFileSync(join(out, name), 'utf8').match(what)?.length ?? 0;
    expect(count('first.txt', /Note on/g)).toBeGreaterThan(4);
    const [ons, offs] = [count('second.txt', /Note on/g), count('second.txt', /Note off/g)];
    expect(ons).toBeGreaterThan(4);
    expect(offs).toBeGreaterThanOrEqual(ons);
  });
});

describe.runIf(guestIsHere)('in a machine with a sound card', () => {
  const home = join(folder.path, 'sound');
  it('makes a sound that is not silent, not clipped, and has silence before and after', () => {
    mkdirSync(home, { recursive: true });
    inGuest(
      `
      printf 'pcm.!default { type plug slave.pcm "hw:Loopback,0" }\\n' > ~/.asoundrc
      timeout 120 arecord -q -D plughw:Loopback,1 -f S16_LE -r 44100 -c 1 "$OUT/played.wav" & recorder=$!
      sleep 1
      timeout 120 node dist/main.js play charts/tollhouse-kettle.yaml --plain --out sound --loop 3-4 --tempo 60 --voices click,bass,low,chop
      sleep 1
      pkill -INT arecord; sleep 1
      true`,
      home,
    );
    const wave = readFileSync(join(home, 'out', 'played.wav'));
    const samples = new Int16Array(
      wave.buffer.slice(wave.byteOffset + 44, wave.byteOffset + wave.length - (wave.length % 2)),
    );
    // Loudest sample of each 50 ms.
    const loud = Array.from({ length: Math.floor(samples.length / 2205) }, (_, index) =>
      samples
        .subarray(index * 2205, (index + 1) * 2205)
        .reduce((most, one) => Math.max(most, Math.abs(one)), 0),
    );
    const peak = Math.max(...loud);
    expect(peak).toBeGreaterThan(2000);
    expect(peak).toBeLessThan(32_000);
    expect(loud[0]).toBeLessThan(50);
    expect(loud.at(-1)).toBeLessThan(50);
    // Two clicks of the count-in, then in each of two bars two beats and two chops: eight more attacks at least six of which stand apart.
    // Strokes stand half a second apart; within 200 ms of one, what rises again is the same one, unevenly emulated.
    let attacks = 0;
    let since = 4;
    for (const [index, one] of loud.entries()) {
      const rises = one > peak / 6 && one > 2 * (loud[index - 1] ?? 0);
      if (rises && since >= 4) attacks += 1;
      since = rises && since >= 4 ? 1 : since + 1;
    }
    expect(attacks).toBeGreaterThanOrEqual(8);
    expect(attacks).toBeLessThanOrEqual(10);
  }, 700_000);
});

/** Note-ons and note-offs of a recorded file, in order, as one library reads them. */
function notesOf(file: Buffer): { ons: number[][]; offs: number[][] } {
  const ons: number[][] = [];
  const offs: number[][] = [];
  for (const event of parseMidi(file).tracks.flat()) {
    if (event.type === 'noteOn') ons.push([0x90 | event.channel, event.noteNumber]);
    if (event.type === 'noteOff') offs.push([0x80 | event.channel, event.noteNumber]);
  }
  return { ons, offs };
}

/** The same as another library reads them, which shares nothing with the first. */
function notesOfAgain(file: Buffer): { ons: number[][]; offs: number[][] } {
  const ons: number[][] = [];
  const offs: number[][] = [];
  for (const { subtype, channel, param1, param2 } of new MidiFile(new Uint8Array(file)).getMidiEvents()) {
    if (subtype === 0x9 && param2 > 0) ons.push([0x90 | channel, param1]);
    else if (subtype === 0x8 || subtype === 0x9) offs.push([0x80 | channel, param1]);
  }
  return { ons, offs };
}
