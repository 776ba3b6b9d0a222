import { didYouMean } from '../base/nearest.js';
import { fewNames, quoted, safeText } from '../base/safe-text.js';
import type { Key } from '../theory/key.js';
import type { Chart, FormEntry, Section } from './chart.js';
import { checkChart } from './check.js';
import { Faults, type Reading } from './fault.js';
import { otherTaking } from './other-taking.js';
import { looksDerived, readDerived } from './read-derived.js';
import { checkForm, readForm } from './read-form.js';
import { type Head, readHead } from './read-head.js';
import { readSection, type SectionContext } from './read-section.js';
import { readTune } from './tune/read-tune.js';
import { looksLikeWay } from './way-words.js';
import { type Entry, parseYaml, type Value, type YamlSource } from './yaml-source.js';

/**
 * Reads a chart from a file's bytes. Answers the chart with its warnings, or every fault of the file.
 * Never throws, whatever the bytes are.
 */
export function readChart(bytes: Uint8Array): Reading<Chart> {
  const faults = new Faults();
  const source = parseYaml(bytes, faults);
  if (!source) return faults.refused();
  return readChartEntries(source, faults);
}

/** Reads a chart from a YAML file whose kind is already known. */
export function readChartEntries({ entries, lastRemarks }: YamlSource, faults: Faults): Reading<Chart> {
  const head = readHead(entries, faults);
  const value = entries.find((entry) => entry.name === 'sections')?.value ?? null;
  const sections = readSections(value, head, faults);
  const formValue = entries.find((entry) => entry.name === 'form')?.value ?? null;
  const written = readFormValue(formValue, head.key, faults);
  const names = sections.map((section) => section.name);
  checkForm(written ?? [], names, faults);
  checkDerived(sections, faults);
  const form =
    written ??
    sections.map(
      ({ name, place }): FormEntry => ({ section: name, times: 1, who: null, pattern: null, place }),
    );
  const tuneValue = entries.find((entry) => entry.name === 'tune')?.value ?? null;
  const tune = readTune(tuneValue, head, sections, faults);
  const chart: Chart = {
    ...head,
    sections,
    ...(tune.length > 0 ? { tune: tune.map((one) => one.tune) } : {}),
    form,
    remarks: remarksOf(entries, lastRemarks),
    formWritten: written !== null,
  };
  if (!faults.failed)
    checkChart(
      chart,
      { tune, range: entries.find(({ name }) => name === 'range')?.value.place ?? null },
      faults,
    );
  return faults.with(chart);
}

/** The YAML comments by the names they come before. */
function remarksOf(entries: readonly Entry[], last: readonly string[]): Chart['remarks'] {
  const named = entries.flatMap(({ name, value, remarks }): [string, readonly string[]][] => {
    const within = (name === 'sections' || name === 'tune') && value.kind === 'map' ? value.entries : [];
    return [
      [name, remarks],
      ...within.map((entry): [string, readonly string[]] => [`${name}.${entry.name}`, entry.remarks]),
    ];
  });
  return Object.fromEntries([...named, ['', last] as const].filter(([, remarks]) => remarks.length > 0));
}

function readSections(value: Value | null, head: Head, faults: Faults): Section[] {
  if (value?.kind !== 'map' || value.entries.length === 0) {
    faults.error(
      value?.place ?? { line: 1, column: 1 },
      'the chart has no sections; write “sections:”, below it a name, “V: |”, and below that the bars',
    );
    return [];
  }
  const meterChanges = value.entries.some(
    (entry) => entry.value.kind === 'text' && /@\d|@cut/.test(entry.value.text),
  );
  const names = new Set(value.entries.map(({ name }) => name));
  return value.entries.map((entry) => readSectionEntry(entry, names, { ...head, meterChanges }, faults));
}

function readSectionEntry(
  { name, place, value }: Entry,
  names: ReadonlySet<string>,
  context: SectionContext,
  faults: Faults,
): Section {
  const section = { name, place, lines: [], derived: null, letters: false };
  if (!/^\p{L}[\p{L}\p{N} _-]{0,30}$/u.test(name)) {
    faults.error(
      place,
      `${quoted(name)} is not a name for a section; a name starts with a letter and has only letters, figures, spaces and dashes`,
    );
  } else if (looksLikeWay(name)) {
    faults.error(
      place,
      `${quoted(name)} is not a name for a section: “from” begins a jump of the form; choose another name, such as ${quoted(name.replace(/^from\s+/, 'back '))}`,
    );
  }
  if (value.kind !== 'text') {
    faults.error(
      value.place,
      `section ${quoted(name)} has no bars; write “${safeText(name)}: |” and the bars below it, indented`,
    );
    return section;
  }
  if (value.folded) {
    faults.error(
      value.place,
      `the lines of section ${quoted(name)} would be joined into one; write “${safeText(name)}: |” and the bars below it, indented`,
    );
    return section;
  }
  if (looksDerived(value.text)) return { ...section, ...readDerived(value.lines, context, faults) };
  const taken = otherTaking(value.text, names);
  if (taken !== null) {
    faults.error(value.lines[0] ?? place, `take the bars of another section with “all of”: ${quoted(taken)}`);
    return section;
  }
  const before = faults.count;
  const read = readSection(value.lines, context, faults);
  if (faults.count === before && !read.lines.some((line) => line.items.some((item) => item.kind === 'bar'))) {
    faults.error(place, `section ${quoted(name)} has no bars`);
  }
  return { ...section, ...read };
}

function readFormValue(value: Value | null, home: Key, faults: Faults): FormEntry[] | null {
  if (!value) return null;
  if (value.kind === 'text') {
    return readForm(value.lines, faults, home);
  }
  if (value.kind === 'list' && value.values.every((one) => one.kind === 'text')) {
    return value.values.flatMap((one) => (one.kind === 'text' ? readForm(one.lines, faults, home) : []));
  }
  faults.error(value.place, 'the form is a line of section names: “form: V, C, V, C x2”');
  return null;
}

/** How deep a section may be made of sections that are made of sections. */
const deepest = 16;

function checkDerived(sections: readonly Section[], faults: Faults): void {
  const names = sections.map((section) => section.name);
  const known = new Set(names);
  for (const section of sections) {
    for (const of of takenFrom(section)) {
      if (known.has(of)) continue;
      faults.error(section.place, () =>
        of.includes(',')
          ? `${quoted(of)} is not a section; join pieces with “+”: ${quoted(of.split(/\s*,\s*/).join(' + '))}`
          : `there is no section ${quoted(of)}${didYouMean(of, names)}; the sections are: ${fewNames(names)}`,
      );
    }
  }
  const depths = derivedDepths(sections);
  for (const section of sections) {
    const depth = depths.get(section.name) ?? 0;
    if (depth === Number.POSITIVE_INFINITY)
      faults.error(section.place, `section ${quoted(section.name)} is made of itself`);
    else if (depth > deepest)
      faults.error(
        section.place,
        `section ${quoted(section.name)} is made of other sections more than ${deepest} levels deep; take it from bars that are written out`,
      );
  }
}

/** The sections that a derived one takes something from. */
function takenFrom({ derived }: Section): ReadonlySet<string> {
  return new Set((derived ?? []).flatMap(({ of, take }) => (take.kind === 'own' ? [] : [of])));
}

/** How deep each section is derived; infinite where a section is made of itself. Walks each once, without recursion. */
function derivedDepths(sections: readonly Section[]): ReadonlyMap<string, number> {
  const parts = new Map(sections.map((section) => [section.name, [...takenFrom(section)]]));
  const depths = new Map<string, number>();
  const open = new Set<string>();
  for (const { name } of sections) {
    const stack = [name];
    for (let top = stack.at(-1); top !== undefined; top = stack.at(-1)) {
      const members = parts.get(top) ?? [];
      const next = open.has(top) ? undefined : members.filter((part) => parts.has(part) && !depths.has(part));
      if (depths.has(top)) stack.pop();
      else if (next && next.length > 0) {
        open.add(top);
        // A section that is still being worked out leads back to itself.
        for (const part of next) {
          if (open.has(part)) depths.set(part, Number.POSITIVE_INFINITY);
          else stack.push(part);
        }
      } else {
        depths.set(
          top,
          members.reduce((deep, part) => Math.max(deep, 1 + (depths.get(part) ?? 0)), 0),
        );
        open.delete(top);
        stack.pop();
      }
    }
  }
  return depths;
}
