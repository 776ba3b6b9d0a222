import { quoted } from '../base/safe-text.js';
import { barCounter } from './bar-counter.js';
import { type Chart, feltBeats, type Item, type PlayedBar, type SectionLine } from './chart.js';
import { checkLetters, KeysHeard } from './check-keys.js';
import { checkMarks } from './check-ways.js';
import type { Faults } from './fault.js';
import { mistakable } from './share-fault.js';
import { partsOfBeat } from './shares.js';
import { checkTune, type TuneInFile } from './tune/check-tune.js';
import { hasFinalBars, unroll } from './unroll.js';
import { writtenLines } from './written-lines.js';

/** Checks a whole chart that could be read: its form within limits, every section used, every excerpt there. */
export function checkChart(chart: Chart, read: TuneInFile, faults: Faults): void {
  checkUse(chart, faults);
  checkExcerpts(chart, faults);
  checkMarks(chart, faults);
  if (!chart.crooked) checkPhrases(chart, faults);
  if (chart.pickup >= feltBeats(chart.meter) && chart.pickup > 0) {
    faults.error(
      { line: 1, column: 1 },
      `a pickup of ${chart.pickup} beats is a whole bar or more; it must have fewer beats than the meter (${feltBeats(chart.meter)})`,
    );
  }
  if (faults.failed) return;
  // The passes before the final one differ only where there are bars for the final one alone.
  for (const final of hasFinalBars(chart) ? [true, false] : [true]) {
    const heard = new KeysHeard();
    const { bars, fault } = unroll(chart, {
      final,
      onChange: (change, before, behind, entry) => heard.add(change, before, behind, entry),
    });
    if (fault) faults.add(fault);
    else if (bars.length === 0) {
      const opening = chart.sections.find(({ name }) => name === chart.form[0]?.section)?.place;
      faults.error(
        final || !opening ? { line: 1, column: 1 } : opening,
        final
          ? 'the form plays no bar'
          : 'the form plays bars only in its final pass; the earlier passes need some, too',
      );
    }
    if (faults.failed) return;
    // The final pass has all bars that any pass has.
    if (!final) continue;
    checkDots(chart, bars, faults);
    checkTune(chart, read, bars, faults);
    checkWaits(chart, bars, faults);
    heard.tell(chart, bars, faults);
    checkLetters(chart, bars, faults);
  }
}

/** In a crooked chart dots count felt beats, even if somebody may have meant a full bar of quarters or eighths. */
function checkDots(chart: Chart, bars: readonly PlayedBar[], faults: Faults): void {
  if (!chart.crooked) return;
  const told = new Set<Item>();
  const written = chart.sections.map((section) =>
    writtenLines(section).map((items) => items.filter(({ kind }) => kind === 'bar')),
  );
  for (const { beats, meter, source } of bars) {
    if (partsOfBeat(meter) === 1 || beats !== feltBeats(meter) * partsOfBeat(meter)) continue;
    const section = chart.sections[source.section];
    const item = written[source.section]?.[source.line]?.[source.bar];
    if (item?.kind !== 'bar' || told.has(item)) continue;
    told.add(item);
    const message = mistakable(item.cells, meter, section?.letters ? chart.key : null);
    if (message !== null) faults.warning(item.place, message);
  }
}

/** A stop of the band has music before it and after it. */
function checkWaits(chart: Chart, bars: readonly PlayedBar[], faults: Faults): void {
  const [first] = chart.form;
  const opening = chart.sections.find(({ name }) => name === first?.section);
  const items = opening?.lines.flatMap((line) => line.items) ?? [];
  const early = items.slice(
    0,
    items.findIndex(({ kind }) => kind === 'bar'),
  );
  const wait = early.find((item) => item.kind === 'change' && item.change.kind === 'wait');
  if (wait)
    faults.warning(
      wait.place,
      'this @wait comes before the band has begun; write it after the bar where the band stops',
    );
  const last = chart.form.at(-1);
  if (last && bars.at(-1)?.wait !== undefined)
    faults.warning(
      chart.sections.find(({ name }) => name === last.section)?.place ?? last.place,
      'the form ends with @wait, and nothing follows it the last time; remove it, or write the bars that follow',
    );
}

function checkUse(chart: Chart, faults: Faults): void {
  const used = new Set(chart.form.map((entry) => entry.section));
  const parts = new Map(chart.sections.map(({ name, derived }) => [name, derived ?? []]));
  const open = [...used];
  for (let name = open.pop(); name !== undefined; name = open.pop()) {
    for (const { of } of parts.get(name) ?? []) {
      if (!used.has(of)) open.push(of);
      used.add(of);
    }
  }
  for (const section of chart.sections) {
    if (!used.has(section.name))
      faults.warning(section.place, `section ${quoted(section.name)} is never used by the form`);
  }
}

function checkExcerpts(chart: Chart, faults: Faults): void {
  const barsOf = barCounter(chart.sections);
  for (const section of chart.sections) {
    for (const { of, take } of section.derived ?? []) {
      if (take.kind === 'all' || take.kind === 'own') continue;
      const bars = barsOf(of);
      const most = take.kind === 'bars' ? Math.max(take.from, take.to) : take.bars;
      const bad = most > bars || most < 1 || (take.kind === 'bars' && (take.from < 1 || take.from > take.to));
      if (bad)
        faults.error(
          section.place,
          `section ${quoted(of)} has ${bars} bars; what is taken from it must be within them`,
        );
    }
  }
}

/** A phrase of an odd number of bars is rare enough to be a slip; a chart that means it says `crooked: yes`. */
function checkPhrases(chart: Chart, faults: Faults): void {
  for (const section of chart.sections) {
    for (const line of section.lines) {
      const bars = barsOnce(line);
      const first = line.items.find((item) => item.kind === 'bar');
      if (first && bars > 1 && bars % 2 === 1) {
        faults.warning(
          first.place,
          `a phrase of ${bars} bars; if the song is crooked, add “crooked: yes” to the head`,
        );
      }
    }
  }
}

/** Bars of a line as they are first played: of its endings only the first, and none of the final pass's. */
function barsOnce(line: SectionLine): number {
  let bars = 0;
  let skipping = false;
  for (const item of line.items) {
    if (item.kind === 'ending-open') skipping = item.times === 'last' || !item.times.includes(1);
    else if (item.kind === 'ending-close') skipping = false;
    else if (item.kind === 'bar' && !skipping) bars += 1;
  }
  return bars;
}
