// Calibrates in a machine with sound cards, time and again with another delay put into the way from the output to the microphone.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { inSteadyGuest } from './steady-guest.mjs';

/** Samples a second on the way. */
export const wayRate = 48_000;
/** How long a calibration may take, and the beginning of all, seconds: some forty times what it takes in the guest, for hosts that are busy. */
const eachSeconds = 600;
const beginSeconds = 120;

/**
 * The output is one end of a loopback card, the microphone the end of another, and a relay leads from the first to the second with as many samples between as are
 * asked for. All calibrations are made with one relay: what it has of its own is the same for all.
 *
 * @param delays samples
 * @param folder an empty one
 * @returns for each delay what was said, and what was found of it: the round trip, its spread (ms), and how many of sixteen clicks were heard
 */
export async function calibrationsInGuest(delays, folder) {
  const relay = fileURLToPath(new URL('./relay.mjs', import.meta.url));
  const card = '-q -t raw -f FLOAT_LE -c 1 -r ' + wayRate;
  const script = `
    printf 'pcm.!default { type asym\\n playback.pcm { type plug slave.pcm "hw:Loopback,0,0" }\\n capture.pcm { type plug slave.pcm "hw:Loopback,1,1" } }\\n' > ~/.asoundrc
    echo 0 > /tmp/delay
    arecord ${card} -D hw:Loopback,1,0 --period-time=10000 --buffer-time=1000000 2> /tmp/lost-in.txt |
      node ${relay} /tmp/delay |
      aplay ${card} -D hw:Loopback,0,1 --period-time=10000 --buffer-time=80000 2> /tmp/lost-out.txt &
    sleep 5
    # Whatever is wrong is told with the first calibration.
    cat /proc/asound/Loopback/pcm?[pc]/sub[01]/status > "$OUT/cards.txt"
    for samples in ${delays.join(' ')}; do
      echo $samples > /tmp/delay; sleep 1
      as_player node dist/start.js listen --calibrate --out sound > /tmp/said-$samples.txt 2>&1
      echo "status $?" >> /tmp/said-$samples.txt
      cat /tmp/lost-in.txt /tmp/lost-out.txt >> /tmp/said-$samples.txt
      cp /tmp/said-$samples.txt "$OUT/"
    done
    true`;
  await inSteadyGuest(script, folder, beginSeconds + eachSeconds * delays.length);
  return delays.map((samples) => {
    const said = readFileSync(join(folder, 'out', `said-${samples}.txt`), 'utf8');
    const found = /round trip ([\d.]+) ms, spread ([\d.]+) ms \((\d+) of 16 clicks\)/.exec(said);
    const [ms, spreadMs, heard] = (found ?? []).slice(1).map(Number);
    return { samples, said, ms, spreadMs, heard };
  });
}
