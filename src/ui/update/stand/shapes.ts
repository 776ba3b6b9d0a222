import { sights } from '../../../band/parts.js';
import { plainName } from '../../../hand/changes.js';
import type { ShapePick } from '../../../hand/plan.js';
import { withSetup } from '../../../playback/session.js';
import { keyName } from '../../../theory/key.js';
import type { Model } from '../../state/model.js';
import { changeHere, sectionName } from '../../state/shapes.js';
import { noticed, type Step, step } from '../step.js';

/** Opens the list of shapes for the chord under the cursor; not while the music runs, because the chord would change under the list. */
export function openShapes(model: Model): Step {
  const { link, performance } = model.session;
  const part = model.band?.band.part ?? null;
  if (part && !sights[part].shapes)
    return noticed(model, `this stand shows a ${part}’s part, which has no shapes`);
  if (link.state === 'running') return noticed(model, 'pause first: then another shape can be chosen');
  if (!performance || !changeHere(performance)?.fingering)
    return noticed(model, 'there is no shape to choose for this bar');
  return step({ ...model, notice: '', overlay: { kind: 'shapes', shown: 0 } });
}

/** A shape was chosen for the chord under the cursor; `null` leaves it to the plan again. The rest is planned round it. */
export function chooseShape(model: Model, pick: ShapePick | null): Step {
  const { session } = model;
  const closed: Model = { ...model, overlay: null };
  const change = session.performance && changeHere(session.performance);
  if (!session.performance || !change) return step(closed);
  const { setup } = session.performance;
  const key = keyName(setup.key);
  const chord = plainName(change.chord);
  const section = sectionName(setup, change);
  const others = setup.picks.filter(
    (one) => one.key !== key || one.section !== section || one.chord !== chord,
  );
  const picks = pick ? [...others, { ...pick, key, section }] : others;
  return step({ ...closed, notice: '', session: withSetup(session, { picks }) });
}
