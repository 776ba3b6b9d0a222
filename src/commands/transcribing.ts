import { parseMeter, parseTempo } from '../chart/change.js';
import { meterText, tempoText } from '../chart/chart.js';
import { readChart } from '../chart/read.js';
import { emptyTranscript, type Transcript } from '../chart/transcript.js';
import type { Settings } from '../config/settings.js';
import { newTranscriptName, recallTranscript } from '../config/transcript-file.js';
import { keyName, parseKey } from '../theory/key.js';
import type { Message } from '../ui/state/messages.js';
import { standStart } from './stand-start.js';

/** Bars of a count for writing down: more than any song has. */
const countedBars = 320;

/** A count and nothing else: bars without a chord, in which what is called is written down. */
export function beginTranscript(opening: { readonly settings: Settings }): Message {
  return counted(opening, 'G', '120', '4/4', newTranscriptName(), emptyTranscript);
}

/** Continues what was being written down when the program ended. */
export function transcriptTakenUp(name: string, opening: { readonly settings: Settings }): Message {
  const before = recallTranscript(name);
  if (!before) return { kind: 'open-failed', reason: 'the chart you were writing down is no longer saved' };
  const key = parseKey(before.key);
  const tempo = parseTempo(before.tempo);
  const meter = parseMeter(before.meter);
  return counted(
    opening,
    key.ok ? keyName(key.value) : 'G',
    tempo.ok ? tempoText(tempo.value) : '120',
    meter.ok ? meterText(meter.value) : '4/4',
    name,
    before.transcript,
  );
}

function counted(
  { settings }: { readonly settings: Settings },
  key: string,
  tempo: string,
  meter: string,
  draft: string,
  transcript: Transcript,
): Message {
  const line = '    nc nc nc nc\n';
  const lines = Math.ceil(Math.max(countedBars, transcript.bars.length) / 4);
  const text = `title: written down\nkey: ${key}\ntempo: ${tempo}\nmeter: ${meter}\nsections:\n  A: |\n${line.repeat(lines)}`;
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) return { kind: 'open-failed', reason: 'the count cannot be made' };
  const start = standStart(read.value, null, {}, settings);
  return {
    kind: 'chart-opened',
    file: '',
    chart: read.value,
    source: text,
    transcript,
    draft,
    start: {
      ...start,
      passes: 1,
      mix: {
        ...start.mix,
        on: { ...start.mix.on, click: true, bass: false, low: false, chop: false, lead: false },
      },
    },
  };
}
