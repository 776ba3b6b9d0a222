import { didYouMean } from '../base/nearest.js';
import { fewNames, quoted } from '../base/safe-text.js';
import type { Faults, Reading } from '../chart/fault.js';
import { YamlFields } from '../chart/yaml-fields.js';
import type { YamlSource } from '../chart/yaml-source.js';
import { noteNumber } from '../theory/pitch.js';
import { type Instrument, instruments, mandolin } from './instrument.js';

const names = ['name', 'courses', 'strings', 'scale', 'spacing', 'frets'];

/** A built-in instrument by its id or name, or `null` and the ids there are. */
export function findInstrument(wanted: string): Instrument | null {
  const plain = wanted.trim().toLowerCase().replace(/ /g, '-');
  return instruments.find((one) => one.id === plain) ?? null;
}

/** A sentence for a name that no instrument has. */
export function noInstrument(wanted: string): string {
  const ids = instruments.map((one) => one.id);
  return `${quoted(wanted)} is not an instrument${didYouMean(wanted, ids)}; use ${fewNames(ids)}, or a file of your own`;
}

/** Reads an instrument of the user's own: `courses: G3 D4 A4 E5`, bass side first, and what differs from a mandolin. */
export function readInstrument(source: YamlSource, faults: Faults): Reading<Instrument> {
  const reader = new InstrumentReader(source.entries, faults);
  const instrument = reader.read();
  return instrument ? faults.with(instrument) : faults.refused();
}

class InstrumentReader extends YamlFields {
  read(): Instrument | null {
    this.warnUnknown('an instrument', names);
    const strings = this.number('strings', 1, 3, 1, 'strings a course') ?? 2;
    const courses = this.courses();
    const name = this.text('name') ?? 'instrument';
    return {
      id: name.toLowerCase().replace(/\s+/g, '-'),
      name,
      courses: courses.map((open) => ({ open, strings })),
      scale:
        this.number('scale', 150, 1200, 25.4, 'mm (or “13.875 in”) from nut to bridge') ?? mandolin.scale,
      spacing: this.number('spacing', 3, 30, 25.4, 'mm from course to course') ?? mandolin.spacing,
      frets: this.number('frets', 5, 36, 1, 'frets') ?? mandolin.frets,
    };
  }

  private courses(): Instrument['courses'][number]['open'][] {
    const notes = this.text('courses')?.split(/\s+/) ?? [];
    const numbers = notes.map(noteNumber);
    if (notes.length >= 3 && notes.length <= 8 && numbers.every((one) => one !== null))
      return numbers as Instrument['courses'][number]['open'][];
    this.fault(
      'courses',
      'write three to eight courses as notes with octaves, bass side first: “courses: G3 D4 A4 E5”',
    );
    return [];
  }

  private number(name: string, least: number, most: number, inch: number, what: string): number | null {
    const text = this.text(name);
    if (text === null) return null;
    const match = /^(\d+(?:\.\d+)?)\s*(mm|in)?$/.exec(text);
    const value = Number(match?.[1]) * (match?.[2] === 'in' ? inch : 1);
    if (match && value >= least && value <= most) return value;
    this.fault(name, `${name} ${quoted(text)} is not a number of ${what} from ${least} to ${most}`);
    return null;
  }
}
