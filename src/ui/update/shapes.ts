import { plainName } from '../../hand/changes.js';
import { fingersText, fretsText } from '../../hand/fingering.js';
import type { Pick, PlannedChange } from '../../hand/plan.js';
import { keyName } from '../../theory/key.js';
import type { Model, Stand, Updated } from '../model.js';
import { handMoment, passView } from '../pass-view.js';
import { askArrangement } from './arranging.js';

/** The change whose shape can be chosen: the one under the cursor. */
export function changeHere(stand: Stand): PlannedChange | null {
  const view = passView(stand);
  return view && handMoment(view, stand.cursor.bar, stand.cursor.beat ?? 0, stand.range).now;
}

/** The name of the written section a change stands in: its number may be another when the file is. */
export function sectionName({ chart }: Stand, change: PlannedChange): string {
  return chart.sections[Number(change.section)]?.name ?? change.section;
}

/** Opens the list of shapes for the chord under the cursor; not while the music runs, for it would run away under the list. */
export function openShapes(model: Model, stand: Stand): Updated {
  if (model.player.state === 'running')
    return { model: { ...model, notice: 'pause first: then another shape can be chosen' }, effects: [] };
  const change = changeHere(stand);
  if (!change?.fingering)
    return { model: { ...model, notice: 'there is no shape to choose for this bar' }, effects: [] };
  return { model: { ...model, notice: '', panel: 'shapes', highlight: 0 }, effects: [] };
}

/** The ways that can be chosen for a change, the one it has first, and what each costs more in a pass, ms. */
export function shapeChoices(change: PlannedChange): readonly {
  readonly pick: Pick;
  readonly moreMs: number;
  readonly fingering: NonNullable<PlannedChange['fingering']>;
}[] {
  if (!change.fingering) return [];
  const ways = [{ fingering: change.fingering, moreMs: 0 }, ...change.alternatives];
  return ways.map(({ fingering, moreMs }) => ({
    fingering,
    moreMs,
    pick: {
      section: change.section,
      chord: plainName(change.chord),
      frets: fretsText(fingering.frets),
      fingers: fingersText(fingering.fingers),
    },
  }));
}

/** A shape was chosen for the chord under the cursor; `null` leaves it to the plan again. The rest is planned round it. */
export function chooseShape(model: Model, pick: Pick | null): Updated {
  const { stand } = model;
  const change = stand && changeHere(stand);
  if (!stand || !change) return { model: { ...model, panel: null }, effects: [] };
  const key = keyName(stand.key);
  const chord = plainName(change.chord);
  const section = sectionName(stand, change);
  const others = stand.picks.filter(
    (one) => one.key !== key || one.section !== section || one.chord !== chord,
  );
  const picks = pick ? [...others, { ...pick, key, section }] : others;
  return askArrangement({ ...model, panel: null, notice: '', stand: { ...stand, picks } });
}
