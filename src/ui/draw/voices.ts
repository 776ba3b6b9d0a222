import type { Setup } from '../../playback/setup.js';
import { type Voice, voices } from '../../time/event.js';
import { melodySays } from '../../time/melody.js';
import { mostLevel } from '../../time/sound.js';
import { type Line, piece } from './line.js';
import { namedKeys } from './named-keys.js';

const says: Readonly<Record<Exclude<Voice, 'lead'>, string>> = {
  click: 'the beat',
  bass: 'root and fifth',
  low: 'the low notes of your own part',
  chop: 'the chops of your own part',
};

/** Columns of a level at its loudest. */
const barWidth = 15;

/** The list of voices: which sound, how loud, and which is heard alone. */
export function voiceLines(
  { mix, melody = 'sound', chart }: Pick<Setup, 'mix' | 'melody' | 'chart'>,
  chosen: number,
  unicode: boolean,
): Line[] {
  const rows = voices.map((voice, index): Line => {
    const level = mix.levels[voice];
    const filled = Math.round((level / mostLevel) * barWidth);
    const full = unicode ? '▪' : '#';
    const bar = full.repeat(filled) + (unicode ? '·' : '.').repeat(barWidth - filled);
    const state = mix.alone === voice ? 'alone' : mix.alone !== null ? 'waits' : mix.on[voice] ? 'on' : 'off';
    const mark = index === chosen ? (unicode ? ' ▸ ' : ' > ') : '   ';
    return [
      piece(mark),
      piece(voice.padEnd(7), index === chosen ? 'here' : 'plain'),
      piece(state.padEnd(7), state === 'on' || state === 'alone' ? 'count' : 'dim'),
      piece(bar, state === 'on' || state === 'alone' ? 'plain' : 'dim'),
      piece(`${String(level).padStart(5)} %  `),
      piece(
        voice !== 'lead' ? says[voice] : chart.tune ? melodySays[melody] : 'this chart has no tune',
        'dim',
      ),
    ];
  });
  const up = unicode ? '↑ ↓' : 'Up Down';
  const sides = unicode ? '← →' : 'Left Right';
  return [
    [piece(' Voices', 'title')],
    [],
    ...rows,
    [],
    namedKeys(` ${up} choose   Space on or off   ${sides} softer, louder`),
    namedKeys(' a alone   m where the tune is heard   Esc back'),
    [],
    [piece(' Start softly: a click is sharp, and ears do not heal.', 'dim')],
  ];
}
