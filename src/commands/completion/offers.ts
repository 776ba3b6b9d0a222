import type { CommandUnknownOpts } from '@commander-js/extra-typings';

/** What has to be looked up to be offered; `null`: nothing. */
export type Offer =
  | 'chart'
  | 'chart-or-drill'
  | 'file'
  | 'folder'
  | 'key'
  | 'keys'
  | 'output'
  | 'source'
  | 'microphone'
  | 'singer'
  | 'own-singer'
  | 'person'
  | 'instrument'
  | 'hand'
  | 'pattern'
  | 'voices'
  | 'finger'
  | 'home'
  | 'capo'
  | 'meter'
  | 'count-in'
  | 'step'
  | 'command'
  | null;

/** By an option's flag; where one flag means several things, with what its help calls its value. */
const byFlag: Readonly<Record<string, Offer>> = {
  '--key': 'key',
  '--keys': 'keys',
  '--from key': 'key',
  '--out': 'output',
  '--test': 'output',
  '--follow': 'source',
  '--pedal': 'source',
  '--microphone': 'microphone',
  '--for': 'singer',
  '--fits': 'own-singer',
  '--who': 'person',
  '--instrument': 'instrument',
  '--hand': 'hand',
  '--pattern': 'pattern',
  '--voices': 'voices',
  '--without': 'finger',
  '--home': 'home',
  '--capo': 'capo',
  '--meter': 'meter',
  '--count-in': 'count-in',
  '--start step': 'step',
  '--done': 'step',
  '--again': 'step',
  '--chart': 'chart',
  '--set': 'chart',
  '--plan': 'chart',
  '--ca': 'file',
  '--keep': 'file',
  '--output': 'file',
  '--all': 'folder',
  '--in': 'folder',
};

/** By an argument's name; a command whose argument of that name is something else comes first. */
const byArgument: Readonly<Record<string, Offer>> = {
  'shed drill file': 'chart-or-drill',
  'shed plan name': 'person',
  'new file': 'file',
  'import file': 'file',
  'listen file': 'file',
  'help topic': 'command',
  file: 'chart',
  files: 'chart',
  folder: 'folder',
  key: 'key',
};

/** What is offered for the value of an option. */
export function optionOffer({
  long,
  flags,
}: Pick<CommandUnknownOpts['options'][number], 'long' | 'flags'>): Offer {
  const called = /[<[]([^\]>.]+)/.exec(flags)?.[1] ?? '';
  return byFlag[`${long} ${called}`] ?? byFlag[long ?? ''] ?? null;
}

/** What is offered for an argument of a command. */
export function argumentOffer(path: string, name: string): Offer {
  return byArgument[`${path} ${name}`] ?? byArgument[name] ?? null;
}

/** The full name of a command: `shed drill`; empty for the program itself. */
export function commandPath(command: CommandUnknownOpts): string {
  return command.parent ? `${commandPath(command.parent)} ${command.name()}`.trim() : '';
}

/** Whether a value is a chart or set that may be named without its folder and extension. */
export function isChartOffer(offer: Offer): boolean {
  return offer === 'chart' || offer === 'chart-or-drill';
}
