import { didYouMean } from '../base/nearest.js';
import type { Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import type { Place } from './chart.js';
import type { Faults } from './fault.js';
import type { Entry, Value } from './yaml-source.js';

/** Where a file starts: the place of what is not there. */
const fileStart: Place = { line: 1, column: 1 };

/** Where a value's own text starts: after its quote, on its first line. */
export function startOf(value: Value): Place {
  return value.kind === 'text' ? (value.lines[0] ?? value.place) : value.place;
}

/**
 * The `name: value` entries of a YAML map, each read as what it should be. A value that is something else is a fault at its
 * place, and counts as not given; so does a name without a value, which is no fault where `mayBeEmpty` says so.
 */
export class YamlFields {
  constructor(
    readonly entries: readonly Entry[],
    protected readonly faults: Faults,
    private readonly mayBeEmpty = false,
  ) {}

  /** The value of a name as the file has it, or `null`. */
  value(name: string): Value | null {
    return this.entries.find((entry) => entry.name === name)?.value ?? null;
  }

  /** Where the value of a name starts; the file's start where there is none. */
  place(name: string): Place {
    const value = this.value(name);
    return value ? startOf(value) : fileStart;
  }

  /** A fault where the value of a name starts. */
  fault(name: string, message: string): void {
    this.faults.error(this.place(name), message);
  }

  /** The text of a name without the spaces around it, or `null`. */
  text(name: string): string | null {
    const value = this.value(name);
    if (value?.kind === 'text') return value.text.trim();
    if (value && !(value.kind === 'nothing' && this.mayBeEmpty))
      this.faults.error(value.place, `${name} is text on its line: “${name}: …”`);
    return null;
  }

  /** The text of a name; empty, without a fault, where its value is something else; `null` where the name is not given. */
  rawText(name: string): string | null {
    const value = this.value(name);
    if (!value) return null;
    return value.kind === 'text' ? value.text.trim() : '';
  }

  /** The text of a name as a parser reads it, or `null`. */
  parsed<T>(name: string, parse: (text: string) => Outcome<T>): T | null {
    const text = this.text(name);
    if (text === null) return null;
    const outcome = parse(text);
    if (outcome.ok) return outcome.value;
    this.fault(name, outcome.fault.message);
    return null;
  }

  /** The whole number of a name, from `least` to `most`, or `null`. */
  whole(name: string, least: number, most: number): number | null {
    const text = this.text(name);
    if (text === null) return null;
    const number = Number(text);
    if (/^\d+$/.test(text) && number >= least && number <= most) return number;
    this.fault(name, `${name} ${quoted(text)} is not a whole number from ${least} to ${most}`);
    return null;
  }

  /** The entries below a name; none where it is not given, or has none, of which `message` then tells. */
  map(name: string, message: string): readonly Entry[] {
    const value = this.value(name);
    if (!value || value.kind === 'map') return value?.entries ?? [];
    this.faults.error(value.place, message);
    return [];
  }

  /** Warns of every name that `what` (“a chart's head”) does not have; `then` ends the sentence. */
  warnUnknown(what: string, names: readonly string[], then = 'it is ignored'): void {
    for (const { name, place } of this.entries) {
      if (names.includes(name)) continue;
      this.faults.warning(
        place,
        () => `${quoted(name)} is not a field of ${what}${didYouMean(name, names)}; ${then}`,
      );
    }
  }
}
