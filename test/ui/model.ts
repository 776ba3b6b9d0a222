import { readFileSync } from 'node:fs';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import type { Performance } from '../../src/playback/performance.js';
import { withPerformance } from '../../src/playback/session.js';
import { parseKey } from '../../src/theory/key.js';
import { arrange } from '../../src/time/arrange.js';
import { usualClick } from '../../src/time/click.js';
import { usualMix, usualSound } from '../../src/time/sound.js';
import type { Message } from '../../src/ui/state/messages.js';
import { firstModel, type Model, type Updated } from '../../src/ui/state/model.js';
import { fileOf, type StandView, standView } from '../../src/ui/state/select.js';
import { update } from '../../src/ui/update/update.js';

/** How a chart starts that nobody said anything about. */
export const usualStart = {
  sound: usualSound,
  mix: usualMix,
  click: usualClick,
  pattern: null,
  patterns: [],
  ramp: null,
} as const;

/** A demo chart's file. */
export function demoText(name: string): string {
  return readFileSync(new URL(`../../charts/${name}.yaml`, import.meta.url), 'utf8');
}

/** The same, read. */
export function demoChart(name: string) {
  const reading = readChart(new TextEncoder().encode(demoText(name)));
  if (!reading.ok) throw new Error(`${name} does not read`);
  return reading.value;
}

export function keyOf(text: string) {
  const key = parseKey(text);
  if (!key.ok) throw new Error(text);
  return key.value;
}

/** Messages one after the other; answers the last model and all effects. Arrangements that are asked for come at once. */
export function having(model: Model, ...messages: Message[]): Updated {
  const effects: Updated['effects'][number][] = [];
  let current = model;
  const take = (message: Message): void => {
    const updated = update(current, message);
    current = updated.model;
    for (const effect of updated.effects) {
      effects.push(effect);
      if (effect.kind === 'arrange')
        take({
          kind: 'arranged',
          id: effect.id,
          arrangement: arrange(effect.chart, effect.options),
          at: 'at' in message ? message.at : 0,
        });
    }
  };
  for (const message of messages) take(message);
  return { model: current, effects };
}

/** A demo chart on a stand of this size, its output open, ready to play. */
export function standing(name: string, columns = 80, rows = 24, unicode = true): Model {
  return standingText(demoText(name), { file: `${name}.yaml`, columns, rows, unicode });
}

/** A chart by its text on a stand, its output open, ready to play. */
export function standingText(
  source: string,
  { file = 'own.yaml', columns = 80, rows = 24, unicode = true } = {},
): Model {
  const read = readChart(new TextEncoder().encode(source));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  const chart = read.value;
  const start = {
    key: chart.key,
    bpm: chart.tempo.bpm,
    countIn: 1,
    passes: null,
    range: null,
    from: 0,
    instrument: mandolin,
    plan: {},
    ...usualStart,
  };
  return having(
    firstModel({ colour: false, unicode }, columns, rows),
    { kind: 'chart-opened', file, chart, start, source },
    {
      kind: 'player',
      at: 0,
      message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [] },
    },
  ).model;
}

/** The same, playing since time 0 at one quarter a second or whatever `msPerTick` says. */
export function running(model: Model, msPerTick = 1000 / 960): Updated {
  return having(
    model,
    { kind: 'action', action: 'play', at: 0 },
    { kind: 'player', at: 0, message: { kind: 'state', state: 'running', tick: 0 } },
    { kind: 'player', at: 0, message: { kind: 'spans', spans: [{ tick: 0, time: 0, msPerTick }] } },
  );
}

export { mandolin };

/** The set that is run; `null` where none is. */
export function setOf({ mode }: Model) {
  return mode.kind === 'set' ? mode : null;
}

/** The sitting that goes on; `null` where none does. */
export function sittingOf({ mode }: Model) {
  return mode.kind === 'sitting' ? mode : null;
}

/** The line that is typed; `null` where none is. */
export function lineOf({ overlay }: Model) {
  return overlay?.kind === 'line' ? overlay : null;
}

/** What the stand is drawn from. Throws where no chart is shown. */
export function viewOf(model: Model): StandView {
  const view = standView(model);
  if (!view) throw new Error('no chart is on the stand');
  return view;
}

/** All that is known of the chart on the stand, side by side; `null` where none is. */
export function onStand(model: Model) {
  const view = standView(model);
  if (!view) return null;
  const { mode, stand, performance, drill } = view;
  return {
    ...performance.setup,
    ...performance,
    ...stand,
    ...(mode.kind === 'chart' ? mode.text : { source: '', earlier: [], saved: '', saving: false }),
    file: fileOf(mode),
    transcript: mode.kind === 'transcribe' ? mode.transcript : null,
    drill: drill?.drill ?? null,
    ladder: drill?.ladder ?? null,
    asking: drill?.asking ?? null,
  };
}

/** The model with some of its performance changed. */
export function performing(model: Model, changes: Partial<Performance>): Model {
  return { ...model, session: withPerformance(model.session, changes) };
}
