/** Elements whose content counts divisions of a quarter. */
const counted = /<(divisions|duration|offset)>(-?\d+)<\/\1>/g;

/**
 * Measures of a MusicXML part with as few divisions of a quarter as all their lengths need: 2 where eighths are the shortest, 6 with
 * triplets of them. The standard (MusicXML 4.0, element `divisions`) advises 16 383 at most, for readers that count in MIDI files.
 */
export function fewestDivisions(measures: readonly string[]): string[] {
  let common = 0;
  for (const measure of measures)
    for (const [, , count] of measure.matchAll(counted))
      common = commonDivisor(common, Math.abs(Number(count)));
  if (common <= 1) return [...measures];
  return measures.map((measure) =>
    measure.replace(counted, (_, name, count) => `<${name}>${Number(count) / common}</${name}>`),
  );
}

function commonDivisor(one: number, other: number): number {
  return other === 0 ? one : commonDivisor(other, one % other);
}
