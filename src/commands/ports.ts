import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import { PlayerClient } from '../player/client.js';
import type { Destinations } from '../player/messages.js';
import { exit, print, printDocument, Stop } from './exit.js';
import { outputsFor } from './outputs.js';
import { settingsOf } from './settings.js';

/** Prints the MIDI destinations and what else can be heard now. */
export async function ports(options: { json?: boolean; test?: string }): Promise<number> {
  if (options.test !== undefined) {
    const { testOutput } = await import('./ports-test.js');
    const { outs } = outputsFor({ out: options.test }, settingsOf());
    return testOutput(outs[0] ?? { kind: 'none' });
  }
  const found = await askPlayer();
  if (options.json) printDocument(jsonText(found, 2));
  else print(...portsText(found));
  return exit.done;
}

/** The destinations as a list for people. */
export function portsText({ ports: names, sources, midi, sound }: Destinations): readonly string[] {
  const lines = ['MIDI destinations:'];
  if (midi) lines.push(`  ${midi}`);
  else if (names.length === 0) lines.push('  none; connect a synthesizer, or start one, and look again');
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
    '  virtual:NAME   a MIDI port of our own that other programs connect to',
    '  raw:PATH   a named pipe or a raw MIDI device',
    '  none   silence',
  );
  return lines;
}

async function askPlayer(): Promise<Destinations> {
  return new Promise((resolve, reject) => {
    const client = new PlayerClient((message) => {
      if (message.kind === 'destinations') client.quit().then(() => resolve(message.destinations));
      else if (message.kind === 'died')
        client.quit().then(() => reject(new Stop(exit.machine, `the player died (${message.reason})`)));
    });
    client.send({ kind: 'list' });
  });
}
