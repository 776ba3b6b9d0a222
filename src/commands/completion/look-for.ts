import { closeSync, readdirSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { folders } from '../../config/folders.js';
import { openRegular } from '../../config/regular.js';
import { chartFile, namedCharts } from '../chart-names.js';
import { gearNames } from './gear.js';
import type { Offer } from './offers.js';
import type { Fitting } from './place.js';

/** Which files a shell offers besides; `charts`: files with the extension of charts, and folders. */
export type Files = 'none' | 'charts' | 'files' | 'folders';

/** What was found for an offer. */
export interface Found {
  readonly fitting: readonly Fitting[];
  readonly files: Files;
  /** Whether it is a list with commas: what is offered is its last part. */
  readonly isList: boolean;
}

/** How much of a file is searched for a title, bytes, and how many files. */
const titleBytes = 1024;
const mostTitles = 200;

/** Looks for what is offered. What it needs of the program is loaded only then: a shell waits for it. */
export async function lookFor(offer: Offer, operands: readonly string[]): Promise<Found> {
  const found = (fitting: readonly Fitting[], files: Files = 'none', isList = false): Found => ({
    fitting,
    files,
    isList,
  });
  switch (offer) {
    case null:
      return found([]);
    case 'file':
      return found([], 'files');
    case 'folder':
      return found([], 'folders');
    case 'chart':
      return found(charts(), 'charts');
    case 'chart-or-drill': {
      const { drillKinds, keyDrillKinds } = await import('./words.js');
      return found(
        [...keyDrillKinds.map((text) => ({ text, says: drillKinds[text] })), ...charts()],
        'charts',
      );
    }
    case 'key':
    case 'keys': {
      const { majorTonics, minorTonics } = await import('./words.js');
      return found(
        plain([...majorTonics, ...minorTonics.map((tonic) => `${tonic}m`)]),
        'none',
        offer === 'keys',
      );
    }
    case 'output':
      return found([...midi(await gearNames(offer)), ...otherOutputs]);
    case 'source':
      return found([
        ...midi(await gearNames(offer)),
        { text: 'raw:', says: 'a named pipe or a raw MIDI device' },
      ]);
    case 'microphone':
      return found(plain(await gearNames(offer)));
    case 'singer':
      return found(plain(await chartSingers(operands[0])));
    case 'own-singer': {
      const { readSettings } = await import('./words.js');
      return found(plain([...readSettings().settings.singers.keys()]));
    }
    case 'person':
      return found(
        plain([
          ...new Set([folders.state, folders.config].flatMap((folder) => namesIn(join(folder, 'who')))),
        ]),
      );
    case 'instrument': {
      const { instruments } = await import('./words.js');
      return found(plain(instruments.map(({ id }) => id)), 'charts');
    }
    case 'hand': {
      const { hands } = await import('./words.js');
      return found(plain(hands.map(({ name }) => name)), 'charts');
    }
    case 'pattern': {
      const { patternNames } = await import('./words.js');
      return found(plain(patternNames()), 'charts');
    }
    case 'voices': {
      const { voices } = await import('./words.js');
      return found(plain([...voices, 'all']), 'none', true);
    }
    case 'finger': {
      const { fingerNames } = await import('./words.js');
      return found(plain(fingerNames.slice(1)), 'none', true);
    }
    case 'home':
      return found(plain(['low', 'high']));
    case 'capo': {
      const { highestCapo } = await import('./words.js');
      return found(plain(['auto', ...Array.from({ length: highestCapo + 1 }, (_, fret) => `${fret}`)]));
    }
    case 'meter': {
      const { meters, meterText } = await import('./words.js');
      return found([...plain(meters.map(meterText)), { text: 'cut', says: '2/2' }]);
    }
    case 'count-in':
      return found([
        { text: '0', says: 'none' },
        { text: '1', says: 'one bar' },
        { text: '2', says: 'two bars' },
      ]);
    case 'step': {
      const { pathSteps } = await import('./words.js');
      return found(pathSteps.map(({ id, title }) => ({ text: id, says: title })));
    }
    case 'command':
      return found([]);
  }
}

const otherOutputs: readonly Fitting[] = [
  { text: 'sound', says: 'the built-in sound' },
  { text: 'virtual:', says: 'a MIDI port of the program' },
  { text: 'raw:', says: 'a named pipe or a raw MIDI device' },
  { text: 'none', says: 'silence' },
];

/** Ports by their numbers, with their names; and by their names. */
function midi(names: readonly string[]): readonly Fitting[] {
  return [
    ...names.map((name, index) => ({ text: `midi:${index + 1}`, says: name })),
    ...names.map((name) => ({ text: `midi:${name}`, says: '' })),
  ];
}

function plain(texts: readonly string[]): readonly Fitting[] {
  return texts.map((text) => ({ text, says: '' }));
}

function charts(): readonly Fitting[] {
  return namedCharts().map(({ name, file }, index) => ({
    text: name,
    says: index < mostTitles ? titleOf(file) : '',
  }));
}

/** The title in the head of a chart; empty where it is not found at once. */
function titleOf(file: string): string {
  try {
    const descriptor = openRegular(file);
    try {
      const bytes = Buffer.alloc(titleBytes);
      const head = bytes.toString('utf8', 0, readSync(descriptor, bytes));
      return /^title:[ \t]*(.+?)[ \t]*$/m.exec(head)?.[1]?.replace(/^(["'])(.*)\1$/, '$2') ?? '';
    } finally {
      closeSync(descriptor);
    }
  } catch {
    return '';
  }
}

/** The singers that a chart has keys for; none where it cannot be read. */
async function chartSingers(text: string | undefined): Promise<readonly string[]> {
  if (text === undefined) return [];
  const { load } = await import('./words.js');
  try {
    const { content } = load(chartFile(text));
    return content?.kind === 'chart' ? content.chart.singers.map(({ name }) => name) : [];
  } catch {
    return [];
  }
}

function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}
