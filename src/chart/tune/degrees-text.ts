import { type Chart, type Meter, placeName, quartersPerBeat, type RangeNote } from '../chart.js';
import { partsOf, partsPerQuarter, type TuneNote, type TunePitch } from './tune.js';
import { barPlaces } from './tune-bars.js';

/** A degree with its octave: `5,` below the tonic, `b3`, `1'` an octave above. */
export function pitchDegree({ degree, alter, octave }: TunePitch | RangeNote): string {
  const sign = alter < 0 ? 'b'.repeat(-alter) : '#'.repeat(alter);
  return sign + degree + (octave < 0 ? ','.repeat(-octave) : "'".repeat(octave));
}

/**
 * Notes as degrees, the notes of a beat together: `1 23 5 -`. As in numbered notation `0` is a rest, and `-` a beat in which
 * the note before goes on.
 *
 * @param beat parts of a quarter in a beat
 * @param tied whether the first note goes on from the bar before
 */
export function degreesText(notes: readonly TuneNote[], beat: number, tied = false): string {
  const beats: string[] = [];
  let at = 0;
  let goesOn = tied;
  for (const { pitch, parts, tie } of notes) {
    const place = Math.floor(at / beat);
    while (beats.length <= place) beats.push('');
    const said = pitch === null ? '0' : goesOn ? '' : pitchDegree(pitch);
    beats[place] = `${beats[place]}${said}`;
    at += parts;
    // What lasts into further beats goes on there.
    while (beats.length < Math.ceil(at / beat)) beats.push(pitch === null ? '0' : '-');
    goesOn = tie;
  }
  return beats.map((text) => (text === '' ? '-' : text)).join(' ');
}

/** The tune of each written bar as degrees, by `section/line/bar` as `BarSource` has them; a pick-up comes before a `|`. */
export function tuneTexts(chart: Chart): ReadonlyMap<string, string> {
  const texts = new Map<string, string>();
  for (const tune of chart.tune ?? []) {
    const index = chart.sections.findIndex(({ name }) => name === tune.section);
    const section = chart.sections[index];
    const places = section ? barPlaces(section, chart.key, chart.meter) : [];
    if (places.length !== tune.bars.length) continue;
    let tied = tune.pickup.at(-1)?.tie ?? false;
    places.forEach((place, at) => {
      const beat = beatOf(place.meter);
      const notes = tune.bars[at]?.notes ?? [];
      const ahead = at === 0 && partsOf(tune.pickup) > 0 ? `${degreesText(tune.pickup, beat)} | ` : '';
      texts.set(
        placeName({ section: index, line: place.line, bar: place.index }),
        ahead + (notes.length > 0 ? degreesText(notes, beat, tied) : '0'),
      );
      tied = notes.at(-1)?.tie ?? false;
    });
  }
  return texts;
}

function beatOf(meter: Meter): number {
  return Math.round(quartersPerBeat(meter) * partsPerQuarter);
}
