import { didYouMean } from '../base/nearest.js';
import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import type { Key } from '../theory/key.js';
import type { Change, Feel, Meter, Tempo } from './chart.js';
import { parseTargetKey } from './key-target.js';

/** Lowest and highest tempo, as the chart counts it. */
export const tempoLimits = { least: 20, most: 400 } as const;

/** How far a tempo may fall, in percent of it. */
export const slowingLimits = { least: 30, most: 99 } as const;

/** Felt beats that a stop of the band may take where nobody gives the cue. At least two: the last of them is counted in. */
export const waitLimits = { least: 2, most: 64 } as const;

/** Reads a meter: `4/4`, `3/4`, `2/2`, `6/8`; `cut` is 2/2. */
export function parseMeter(text: string): Outcome<Meter> {
  if (text.trim() === 'cut') return good({ beats: 2, unit: 2 });
  const match = /^(\d{1,2})\/(\d{1,2})$/.exec(text.trim());
  const beats = Number(match?.[1]);
  const unit = Number(match?.[2]);
  if (!match || beats < 1 || beats > 16 || (unit !== 2 && unit !== 4 && unit !== 8)) {
    return misread(
      `${quoted(text)} is not a meter; write beats over 2, 4 or 8, at most 16 of them: 4/4, 3/4, 2/2, 6/8`,
    );
  }
  return good({ beats, unit });
}

/** Reads a tempo: `170` counts quarters, `half=120` halves, `dotted=90` dotted quarters. */
export function parseTempo(text: string): Outcome<Tempo> {
  const match = /^(?:([a-z]+)\s*=\s*)?(\d+(?:\.\d+)?)$/.exec(text.trim());
  if (!match)
    return misread(`${quoted(text)} is not a tempo; write quarters a minute, or half=120, dotted=90`);
  const count = match[1] ?? 'quarter';
  if (count !== 'quarter' && count !== 'half' && count !== 'dotted') {
    return misread(
      `${quoted(count)} is not a note value for a tempo${didYouMean(count, ['quarter', 'half', 'dotted'])}; write quarter, half or dotted`,
    );
  }
  const bpm = Number(match[2]);
  if (bpm < tempoLimits.least || bpm > tempoLimits.most) {
    return misread(
      `tempo ${quoted(match[2] ?? '')} is out of range; write one from ${tempoLimits.least} to ${tempoLimits.most}`,
    );
  }
  return good({ bpm, count });
}

/** Reads a feel: `straight`, or `swing=62` with the place of the off-beat in percent of the beat. */
export function parseFeel(text: string): Outcome<Feel> {
  if (text.trim() === 'straight') return good({ swing: 50 });
  const match = /^(?:swing\s*=\s*)(\d{1,3})$/.exec(text.trim());
  const swing = Number(match?.[1]);
  if (!match || swing < 50 || swing > 75) {
    return misread(`${quoted(text)} is not a feel; write straight, or swing=50 (straight) to swing=75`);
  }
  return good({ swing });
}

/**
 * Reads a change within a section, without its `@`: `3/4`, `key+2`, `key=A`, `tempo=90`, `swing=62`, `rit=80%`, `wait=4`. A key that is named moves
 * along with the chart's own, which is `home`; C where none is given.
 */
export function parseChange(text: string, home: Key = { tonic: 'C', mode: 'major' }): Outcome<Change> {
  if (/^(\d|cut$)/.test(text)) {
    const meter = parseMeter(text);
    return meter.ok ? good({ kind: 'meter', meter: meter.value }) : meter;
  }
  const [, name = '', rest = ''] = /^([a-z]*)(.*)$/s.exec(text) ?? [];
  if (name === 'key') {
    if (rest.startsWith('=')) return keyChange(text, rest.slice(1), home);
    const match = /^([+-]\d{1,2})$/.exec(rest);
    if (!match || Math.abs(Number(rest)) > 11 || Number(rest) === 0) {
      return misread(
        `${quoted(`@${text}`)} does not change the key; write the half steps, @key+2 or @key-1 (at most 11), or the new key, @key=A`,
      );
    }
    return good({ kind: 'key', halfSteps: Number(rest) });
  }
  if (name === 'tempo') {
    const tempo = parseTempo(rest.replace(/^=/, ''));
    if (!tempo.ok) return tempo;
    if (tempo.value.count !== 'quarter')
      return misread(`write @tempo=90; it counts the same note value as the tempo in the head`);
    return good({ kind: 'tempo', bpm: tempo.value.bpm });
  }
  if (name === 'swing') {
    const feel = parseFeel(text);
    return feel.ok ? good({ kind: 'swing', swing: feel.value.swing }) : feel;
  }
  if (name === 'rit') return parseSlowing(text, rest);
  if (name === 'wait') return parseWait(text, rest);
  return misread(
    `${quoted(`@${text}`)} is not a change${didYouMean(name, ['key', 'tempo', 'swing', 'rit', 'wait'])}; the changes are @3/4 @key+2 @key=A @tempo=90 @swing=62 @rit=80% @wait`,
  );
}

function keyChange(text: string, name: string, home: Key): Outcome<Change> {
  if (name === '')
    return misread(
      `${quoted(`@${text}`)} does not name a key; write it after the equals sign: @key=A, @key=F#m`,
    );
  const key = parseTargetKey(name);
  if (key.ok) return good({ kind: 'key-to', to: { key: key.value, home } });
  return misread(key.fault.message, '@key='.length + key.fault.at);
}

function parseSlowing(text: string, rest: string): Outcome<Change> {
  const percent = Number(/^=(\d{1,3})%$/.exec(rest)?.[1]);
  if (!(percent >= slowingLimits.least && percent <= slowingLimits.most)) {
    return misread(
      `${quoted(`@${text}`)} does not say how far to slow down; write the percentage of the tempo to reach at the end of the section, from ${slowingLimits.least} to ${slowingLimits.most}: @rit=80%`,
    );
  }
  return good({ kind: 'slow', percent });
}

function parseWait(text: string, rest: string): Outcome<Change> {
  if (rest === '') return good({ kind: 'wait', beats: null });
  const beats = Number(/^=(\d{1,3})$/.exec(rest)?.[1]);
  if (!(beats >= waitLimits.least && beats <= waitLimits.most)) {
    return misread(
      `${quoted(`@${text}`)} is not a wait; write @wait, or add how many beats to wait when nobody gives a cue, from ${waitLimits.least} to ${waitLimits.most}: @wait=4`,
    );
  }
  return good({ kind: 'wait', beats });
}
