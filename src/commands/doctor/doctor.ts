import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { folders } from '../../config/folders.js';
import type { BrokerAddress } from '../../link/address.js';
import { addressFlag } from '../band-flags.js';
import { Stop } from '../exit.js';
import { asksBackground, lookOf } from '../look.js';
import { lastWords, writePatiently } from '../plain-terminal.js';
import { print, printDocument, say } from '../print.js';
import { screenLack } from '../screen.js';
import { askTerminal, unasked } from './ask-terminal.js';
import { judgeCharts, judgeFolder, judgeSettings } from './judge-files.js';
import { judgeMicrophone, judgeMidiIn, judgeMidiOut, judgeSound } from './judge-gear.js';
import { type FoundBroker, judgeBroker, judgeDiscovery, judgeProgram } from './judge-rest.js';
import {
  judgeBackground,
  judgeColours,
  judgeSigns,
  judgeSize,
  type TerminalSigns,
} from './judge-terminal.js';
import { lookAtCharts, lookAtFolder, lookAtSettings } from './look-files.js';
import { reportJson, reportLines } from './report.js';
import { drawnSigns } from './signs.js';
import { tryMicrophone, tryMidi, trySound } from './try-gear.js';
import { tryBroker, tryDiscovery, tryOwnBroker } from './try-network.js';
import { statusOf, type Trial, usualWait, type Verdict } from './verdict.js';

/** The options of `doctor`. */
export interface DoctorFlags {
  readonly json?: true | undefined;
  readonly sound?: true | undefined;
  /** `false` for `--no-network`. */
  readonly network: boolean;
  readonly wait?: number | undefined;
}

/** Charts are read while everything else is tried, and no longer than this share of its time. */
const chartShare = 0.75;

/** Tries everything that playing needs, at once and each with its limit, and tells what works; answers the exit status. */
export async function doctor({ json, sound, network, wait = usualWait }: DoctorFlags): Promise<number> {
  writePatiently();
  say(
    `This takes a few seconds. ${sound ? 'A click is played. ' : ''}The microphone is opened; nothing that it hears is saved.`,
  );
  const named = namedBroker();
  if (network) say(...networkWords(named));
  const { settings, ...foundSettings } = lookAtSettings();
  const signs = terminalSigns(settings);
  const canAsk = signs.isTerminal && signs.lack === null;
  const terminal = canAsk
    ? await askTerminal(
        {
          background: signs.background === null && asksBackground(lookOf({}, settings), settings),
          signs: signs.unicode ? drawnSigns : [],
        },
        1000 * wait,
        () => process.exit(130),
      )
    : unasked(`${signs.lack ?? 'this is not a terminal'}; run it in a terminal to try this`);
  const left = { kind: 'untried', why: '--no-network leaves it out' } as const;
  const [midi, heard, microphone, broker, discovery, charts, answers] = await Promise.all([
    tryMidi(wait),
    trySound(wait, sound ?? false),
    tryMicrophone(wait, settings.microphone ?? { kind: 'microphone', name: null }),
    network ? brokerTrial(named, wait) : left,
    network ? tryDiscovery(wait) : left,
    lookAtCharts(chartShare * wait),
    terminal.answers,
  ]);
  // Everything else has been tried by now, so a late answer had that time as well.
  await terminal.close();
  const verdicts: readonly Verdict[] = [
    judgeSound(heard),
    judgeMidiOut(midi),
    judgeMidiIn(midi),
    judgeSize(signs),
    judgeColours(signs),
    judgeBackground(signs, answers),
    judgeSigns(signs, answers, drawnSigns),
    judgeSettings(foundSettings),
    judgeCharts(charts),
    judgeFolder('config-folder', lookAtFolder(folders.config)),
    judgeFolder('data-folder', lookAtFolder(folders.charts)),
    judgeFolder('state-folder', lookAtFolder(folders.state)),
    judgeMicrophone(microphone),
    judgeBroker(broker, named !== null),
    judgeDiscovery(discovery),
    judgeProgram(thisProgram()),
  ];
  if (json) printDocument(reportJson(verdicts));
  else print(...reportLines(verdicts, process.stdout.isTTY ? process.stdout.columns : null));
  await lastWords();
  return statusOf(verdicts);
}

/** The broker that BARKLINE_BROKER names; a sentence where that is no address; `null` where none is named. */
function namedBroker(): BrokerAddress | string | null {
  try {
    return addressFlag('BARKLINE_BROKER', undefined);
  } catch (error) {
    if (error instanceof Stop) return error.what;
    throw error;
  }
}

function networkWords(named: BrokerAddress | string | null): readonly string[] {
  const broker =
    named === null ? 'and a broker opens that only this machine can reach' : 'and BARKLINE_BROKER is called';
  return [
    `On the network one question goes out by multicast (mDNS),`,
    `${broker}; --no-network leaves both out.`,
  ];
}

function brokerTrial(named: BrokerAddress | string | null, seconds: number): Promise<Trial<FoundBroker>> {
  if (typeof named === 'string') return Promise.resolve({ kind: 'failed', why: named });
  return named === null ? tryOwnBroker(seconds) : tryBroker(seconds, named);
}

function terminalSigns(settings: Parameters<typeof lookOf>[1]): TerminalSigns {
  const { stdin, stdout, env } = process;
  const isTerminal = Boolean(stdin.isTTY && stdout.isTTY);
  const { colour, unicode, background } = lookOf({}, settings);
  const by = settings.background ? 'settings.yaml' : env.TERM === 'linux' ? 'TERM' : 'COLORFGBG';
  return {
    lack: screenLack(),
    isTerminal,
    columns: stdout.columns ?? 0,
    rows: stdout.rows ?? 0,
    colour,
    unicode,
    depth: isTerminal ? stdout.getColorDepth(env) : 1,
    env,
    background: !background ? null : { by, is: background },
  };
}

function thisProgram() {
  const folder = fileURLToPath(new URL('../../../', import.meta.url));
  const { version } = JSON.parse(readFileSync(new URL('../../../package.json', import.meta.url), 'utf8')) as {
    version: string;
  };
  return { version, node: process.versions.node, platform: `${process.platform} ${process.arch}`, folder };
}
