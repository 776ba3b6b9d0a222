import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import { openEar } from '../ear/client.js';
import type { Microphones } from '../ear/messages.js';
import { PlayerClient } from '../player/client.js';
import type { Destinations } from '../player/messages.js';
import { exit, print, printDocument, Stop } from './exit.js';
import { howToMend, outputsFor } from './outputs.js';
import { settingsOf } from './settings.js';

/** How long the microphones may take to be listed, ms. */
const mostListMs = 15_000;

/** Prints the MIDI destinations, what else can be heard now, and the microphones that can hear. */
export async function ports(options: { json?: boolean; test?: string }): Promise<number> {
  if (options.test !== undefined) {
    const { testOutput } = await import('./ports-test.js');
    const { outs } = outputsFor({ out: options.test }, settingsOf());
    return testOutput(outs[0] ?? { kind: 'none' });
  }
  const [found, ears] = await Promise.all([askPlayer(), askEar()]);
  if (options.json)
    printDocument(jsonText({ ...found, microphones: ears.microphones, microphone: ears.trouble }, 2));
  else {
    print(...portsText(found), ...microphonesText(ears));
    if (found.sound !== null || found.midi !== null || ears.trouble !== null) print(howToMend);
  }
  return exit.done;
}

/** The destinations as a list for people. */
export function portsText({ ports: names, sources, midi, library, sound }: Destinations): readonly string[] {
  const lines = [`MIDI destinations${library ? ` (through the package ${library})` : ''}:`];
  if (midi) lines.push(`  ${midi}`);
  else if (names.length === 0) lines.push('  none; connect or start a synthesizer, and try again');
  names.forEach((name, index) => {
    lines.push(`  midi:${index + 1}  ${safeText(name)}`);
  });
  if (sources.length > 0) lines.push('MIDI sources, for --follow:');
  sources.forEach((name, index) => {
    lines.push(`  midi:${index + 1}  ${safeText(name)}`);
  });
  lines.push(
    'Other outputs:',
    `  sound   ${sound ?? 'the built-in sound'}`,
    '  virtual:NAME   a MIDI port of barkline that other programs connect to',
    '  raw:PATH   a named pipe or a raw MIDI device',
    '  none   silence',
  );
  return lines;
}

/** The microphones as a list for people, with what `--microphone` takes. */
export function microphonesText({ microphones, trouble }: Microphones): readonly string[] {
  const lines = ['Microphones, for --microphone:'];
  if (trouble) lines.push(`  ${safeText(trouble)}`);
  else if (microphones.length === 0) lines.push('  none; connect one and try again');
  const wide = Math.max(0, ...microphones.map(({ name }) => name.length));
  microphones.forEach(({ name, label, isDefault }, index) => {
    const known = label === name ? '' : `  ${label}`;
    lines.push(
      safeText(`  ${index + 1}  ${name.padEnd(known === '' ? 0 : wide)}${known}`) +
        (isDefault ? '  (usual)' : ''),
    );
  });
  return lines;
}

/** The microphones; an ear that dies or stays silent is no reason to say nothing of the rest. */
function askEar(): Promise<Microphones> {
  return new Promise((resolve) => {
    const done = (found: Microphones): void => {
      clearTimeout(timer);
      ear.quit().then(() => resolve(found));
    };
    const timer = setTimeout(
      () => done({ microphones: [], trouble: 'the sound cards do not respond; try again in a while' }),
      mostListMs,
    );
    const ear = openEar({
      from: null,
      onMessage: (message) => {
        if (message.kind === 'microphones') done(message);
        else if (message.kind === 'died' && !message.again)
          done({ microphones: [], trouble: message.sentence });
        // What was asked is lost with the one that died.
        else if (message.kind === 'died') ear.list();
      },
    });
    ear.list();
  });
}

async function askPlayer(): Promise<Destinations> {
  return new Promise((resolve, reject) => {
    const client = new PlayerClient((message) => {
      if (message.kind === 'destinations') client.quit().then(() => resolve(message.destinations));
      else if (message.kind === 'died')
        client
          .quit()
          .then(() =>
            reject(new Stop(exit.machine, `the player process ended unexpectedly (${message.reason})`)),
          );
    });
    client.send({ kind: 'list' });
  });
}
