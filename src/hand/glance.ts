import { courseNames, risesInPitch } from './course-names.js';
import { type Finger, type Fingering, fingerNames } from './fingering.js';
import { flatChanges } from './flat-changes.js';
import { handMove } from './hand-move.js';
import type { Motion } from './motion.js';
import type { NeckSight } from './neck-sight.js';

/** Columns a glance has at most: the pane beside the chart is narrow. */
export const widestGlance = 26;

/** Arrows by direction on the drawn neck: to the right (1) or left (−1), up (1) or down (−1). */
const arrows: Readonly<Record<string, string>> = {
  '1,0': '→',
  '-1,0': '←',
  '0,1': '↑',
  '0,-1': '↓',
  '1,1': '↗',
  '1,-1': '↘',
  '-1,1': '↖',
  '-1,-1': '↙',
};
const plainSigns: Readonly<Record<string, string>> = {
  '→': '>',
  '←': '<',
  '↑': '^',
  '↓': 'v',
  '↗': '^>',
  '↘': 'v>',
  '↖': '<^',
  '↙': '<v',
  ' ·': ',',
};

/** The glance without Unicode signs. */
export function plainGlance(glance: string): string {
  return glance.replace(/[→←↑↓↗↘↖↙]| ·/g, (sign) => plainSigns[sign] ?? sign);
}

/**
 * A motion in a few signs: first what the hand does (an arrow as the neck is drawn, and how far; or it stays), then what
 * changes in it. `I M R L` are the fingers, courses go by their letters; `back` is toward the nut, `up` toward the bridge.
 *
 * @example glance(motion(g, gMinor, mandolin), usualNeck) // 'stay M R L · I back 1'
 */
export function glance(way: Motion, sight: NeckSight): string {
  const still = way.moves.length === 0 && way.lifts.length === 0 && way.lands.length === 0;
  if (still && flatTexts(way).length === 0) return '= stay';
  if (way.planted.length > 0) return plantedGlance(way);
  const { frets, courses, beyond } = handMove(way);
  if (courses === null)
    return fitting([
      `${handText(way, frets, 0, sight)} · ${fingersOf(way.to)}`,
      handText(way, frets, 0, sight),
    ]);
  const hand = handText(way, frets, courses, sight);
  // How far a finger goes beyond the hand is seen on the neck; a second figure would be more than a glance.
  const parts = [...slides(beyond, !/\d/.test(hand)), ...landings(way), ...flatTexts(way)];
  return fitting([
    parts.length === 0 ? hand : `${hand} · ${parts.join(', ')}`,
    ...(beyond.length === 0 ? [] : [`${hand} · ${fingersOf(way.to)}`]),
    hand,
  ]);
}

function handText(way: Motion, frets: number, courses: number, sight: NeckSight): string {
  if (frets === 0 && courses === 0) return 'hand stays';
  return `${arrowOf(frets, courses, sight)} ${frets === 0 ? acrossText(way, courses) : alongText(frets)}`;
}

/** Which fingers stay, and what the others do; where that is too much, the fingers of the new shape. */
function plantedGlance(way: Motion): string {
  const stay = `stay ${way.planted.map(letter).join(' ')}`;
  const changes = [...moveTexts(way), ...landings(way), ...flatTexts(way)];
  const lifts = way.lifts.length === 0 ? [] : [`${way.lifts.map(letter).join(' ')} off`];
  const all = changes.length === 0 ? lifts : changes;
  return fitting([
    `${stay} · ${[...changes, ...lifts].join(', ')}`,
    `${stay} · ${all.join(', ')}`,
    `${stay} · ${fingersOf(way.to)}`,
    stay,
  ]);
}

function moveTexts({ moves, instrument, to }: Motion): string[] {
  const names = courseNames(instrument);
  const along = moves.filter(({ courses }) => courses === 0);
  const across = moves.filter(({ courses }) => courses !== 0);
  return [
    ...slides(along, true),
    ...across.map(({ finger }) => `${letter(finger)} to ${names[to.fingers.indexOf(finger)]}`),
  ];
}

/** Fingers that slide, those alike together: `I M back 1`. More than one figure is more than a glance: then there is none. */
function slides(
  list: readonly { readonly finger: Finger; readonly frets: number }[],
  figures: boolean,
): string[] {
  const alike = new Map<number, Finger[]>();
  for (const { finger, frets } of list) alike.set(frets, [...(alike.get(frets) ?? []), finger]);
  const withFigure = figures && alike.size === 1;
  return [...alike].map(
    ([frets, fingers]) =>
      `${fingers.map(letter).join(' ')} ${frets > 0 ? 'up' : 'back'}${withFigure ? ` ${Math.abs(frets)}` : ''}`,
  );
}

function landings({ lands, instrument }: Motion): string[] {
  const names = courseNames(instrument);
  return lands.map(({ finger, course }) => `${letter(finger)} to ${names[course]}`);
}

/** Fingers that lie down across courses; when one is lifted off them again, the neck shows it. */
function flatTexts(way: Motion): string[] {
  return flatChanges(way).flatMap(({ finger, courses }) =>
    courses.length > 1 ? [`${letter(finger)} flat`] : [],
  );
}

function fitting(texts: readonly string[]): string {
  return (
    texts.find((text) => Math.max(text.length, plainGlance(text).length) <= widestGlance) ??
    (texts.at(-1) as string)
  );
}

function arrowOf(frets: number, courses: number, { mirrored, ceilingUp }: NeckSight): string {
  const right = Math.sign(mirrored ? -frets : frets);
  const up = Math.sign(ceilingUp ? -courses : courses);
  // Adding zero turns −0 into 0.
  return arrows[`${right + 0},${up + 0}`] ?? '=';
}

function alongText(frets: number): string {
  return `${frets > 0 ? 'bridge' : 'nut'} ${Math.abs(frets)}`;
}

/** Which side the hand crosses to; where pitch does not follow place, the side of the outermost course. */
function acrossText({ instrument }: Motion, courses: number): string {
  const far = Math.abs(courses) > 1 ? ` ${Math.abs(courses)}` : '';
  if (risesInPitch(instrument)) return `${courses > 0 ? 'treble' : 'bass'}${far}`;
  return `${courseNames(instrument).at(courses > 0 ? -1 : 0)} side${far}`;
}

/** The fingers of a shape as they lie, bass side first: `L M R`, `- L M R`. */
function fingersOf({ fingers }: Fingering): string {
  return fingers
    .map((finger) => (finger === null ? '-' : letter(finger)))
    .join(' ')
    .replace(/( -)+$/, '');
}

function letter(finger: Finger): string {
  return (fingerNames[finger][0] ?? '').toUpperCase();
}
