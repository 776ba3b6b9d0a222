// A machine with sound cards whose time is its own. An emulated processor that is late for the clock of the machine it runs on loses sound, the
// more the busier that is; here the emulator counts instructions in place of time, one a nanosecond, so that the guest is as fast as a small
// computer however long that takes. It has one processor then.
import { execFile } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { alsaGuest as rig } from './outside.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Whether there is such a machine: it comes beside the project, not with it. */
export const guestIsHere = existsSync(rig);

/** Stands before the emulator on the search path: the same call, with instructions counted. */
const counting = `#!/bin/bash
before= args=()
for one in "$@"; do
  [ "$one" = tcg,thread=multi ] && one=tcg,thread=single
  [ "$before" = -smp ] && one=1
  before=$one
  args+=("$one")
done
PATH=\${PATH#*:}
exec qemu-system-x86_64 "\${args[@]}" -icount shift=0
`;

/**
 * What a script begins with: what programs read from the machine outside is read before anything sounds, since its time goes on while it waits, and
 * nothing may go before others, as for most players: on a single processor a thread in real time would keep the others from theirs.
 */
const beginning = `
cat "$(command -v node)" "$(command -v arecord)" "$(command -v aplay)" node_modules/node-web-audio-api/*linux-x64* $(find dist -name '*.js') \\
  /usr/lib/x86_64-linux-gnu/{libasound*,alsa-lib/*,libjack*,libpulse*,libc.so.6,libm.so.6,libstdc++*} /usr/share/alsa/*.conf /usr/share/alsa/*/* > /dev/null 2>&1
as_player() { setpriv --bounding-set=-sys_nice "$@"; }
`;

/** Runs a script of bash there; resolves to what it printed. `folder`: an empty one, which the script writes to as `$OUT`. */
export function inSteadyGuest(script, folder, seconds) {
  const bin = join(folder, 'bin');
  mkdirSync(bin, { recursive: true });
  writeFileSync(join(bin, 'qemu-system-x86_64'), counting);
  chmodSync(join(bin, 'qemu-system-x86_64'), 0o755);
  const path = join(folder, 'script.sh');
  writeFileSync(path, beginning + script);
  const env = {
    ...process.env,
    PATH: bin + delimiter + process.env.PATH,
    ALSA_GUEST_OUT: join(folder, 'out'),
    XDG_STATE_HOME: '/tmp/state',
    XDG_DATA_HOME: '/tmp/state',
    XDG_CONFIG_HOME: '/tmp/state',
    LC_ALL: 'C.UTF-8',
  };
  return new Promise((resolve, reject) => {
    execFile(
      rig,
      ['--timeout', String(seconds), '--', 'bash', path],
      { cwd: root, env, encoding: 'utf8', maxBuffer: 1 << 24 },
      (error, out, err) => (error ? reject(new Error(`${error.message}\n${out}\n${err}`)) : resolve(out)),
    );
  });
}
