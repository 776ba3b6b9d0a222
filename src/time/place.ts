import { type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import { ticksPerQuarter } from './units.js';

/** An eighth in felt beats: how early an early chord comes. */
export function eighth({ meter }: Pick<PlayedBar, 'meter'>): number {
  return 0.5 / quartersPerBeat(meter);
}

/** A place in a bar in ticks: the off-beat eighth of an undivided beat is moved by the feel. */
export function beatTick(at: number, bar: Pick<PlayedBar, 'meter' | 'feel'>): number {
  const perBeat = quartersPerBeat(bar.meter) * ticksPerQuarter;
  const beat = Math.floor(at + 1e-9);
  const within = at - beat;
  const swung =
    Math.abs(within - 0.5) < 1e-9 && quartersPerBeat(bar.meter) === 1 ? bar.feel.swing / 100 : within;
  return Math.round((beat + swung) * perBeat);
}
