import type { Band } from '../../../../src/band/band.js';
import { newClaims } from '../../../../src/band/claims.js';
import type { PartName } from '../../../../src/band/parts.js';
import { readChart } from '../../../../src/chart/read.js';
import type { SetupStart } from '../../../../src/playback/setup.js';
import { type Line, plainText } from '../../../../src/ui/draw/line.js';
import { type BandView, newBandView } from '../../../../src/ui/state/band.js';
import { firstModel, type Model } from '../../../../src/ui/state/model.js';
import type { FollowMode } from '../../../../src/ui/state/modes.js';
import { demoText, having, mandolin, performing, usualStart } from '../../model.js';

/** A song with words: verses, a chorus, a kick-off, and a break that is not the singer's. */
export const sung = `title: The Lamp at Osier Lock
key: A
tempo: 96
meter: 4/4
form: kickoff (fiddle), V, C, break (banjo), V, C
bass: walk
sections:
  V: |
    > 1. The river took the mill road down
    > 2. And morning found the gate ajar
    1 1 4 1
    > 1. and left the lamp alight for me
    > 2. “So hush”, she said, “it isn’t far”
    1 5 1 1
  C: |
    > Oh lay the lantern low, my love
    4 4 1 1
    > lay it low
    5 5 "all stop" 1 1
  kickoff: last 4 of V
  break: all of V
`;

/** What a stand of a band is drawn from, where it differs from the usual: a guitar that follows Ada, in the first bar. */
export interface Scene {
  readonly chart?: string;
  readonly part?: PartName;
  readonly columns?: number;
  readonly rows?: number;
  readonly unicode?: boolean;
  readonly leads?: boolean;
  readonly at?: { readonly bar: number; readonly beat: number | null };
  readonly far?: boolean;
  readonly start?: Partial<SetupStart>;
  readonly view?: Partial<BandView>;
  readonly band?: Partial<Band>;
}

/** The text of a chart of our own, or of one of the demo charts by its name. */
export function chartText(name: string): string {
  return name === 'sung' ? sung : demoText(name);
}

/** How a stand is that is called Bea; Ada and Cid are there too. */
export function bandOf({ part = 'guitar', leads = false, view = {}, band = {} }: Scene): BandView {
  const begun = newBandView({ name: 'Bea', part, capo: null, isClass: false }, leads ? 'lead' : 'join', 0);
  const claims = newClaims('bea');
  return {
    ...begun,
    place: { word: 'kola-tiru-bamo-sidu', address: 'mqtt://192.168.1.5:18830', carried: true },
    ...view,
    band: {
      ...begun.band,
      id: 'bea',
      up: true,
      claims: {
        ...claims,
        role: leads ? 'leads' : 'follows',
        best: { term: 1, id: leads ? 'bea' : 'ada' },
        highest: 1,
      },
      members: new Map([
        ['ada', { id: 'ada', name: 'Ada', part: 'mandolin' }],
        ['cid', { id: 'cid', name: 'Cid', part: 'bass' }],
      ]),
      ...band,
    },
  };
}

/** A chart of these as it starts. */
export function startIn(name: string, start: Partial<SetupStart> = {}) {
  const chart = readText(chartText(name));
  return {
    key: chart.key,
    bpm: chart.tempo.bpm,
    countIn: 1,
    passes: null,
    range: null,
    from: 0,
    instrument: mandolin,
    plan: {},
    ...usualStart,
    ...start,
  };
}

function readText(text: string) {
  const reading = readChart(new TextEncoder().encode(text));
  if (!reading.ok) throw new Error('the chart does not read');
  return reading.value;
}

/** A stand in a band with its song on it, playing where the scene says. */
export function bandScene(scene: Scene = {}): Model {
  const { chart = 'sung', columns = 80, rows = 24, unicode = true, leads = false } = scene;
  const text = chartText(chart);
  const start = startIn(chart, scene.start);
  const { model } = having(
    firstModel({ colour: false, unicode }, columns, rows),
    { kind: 'chart-opened', file: `${chart}.yaml`, chart: readText(text), start, source: text },
    {
      kind: 'player',
      at: 0,
      message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [] },
    },
  );
  if (model.mode.kind !== 'chart') throw new Error('the chart is not on the stand');
  const sight = { ...model.mode.stand.sight, far: scene.far ?? false };
  const stand = { ...model.mode.stand, sight };
  const follow: FollowMode = { kind: 'follow', stand, start, look: null, ended: 0, from: null };
  const { bar, beat } = scene.at ?? { bar: 0, beat: 0 };
  const placed = performing(model, { cursor: { bar, beat, pass: 1, counting: false }, begun: true });
  return {
    ...placed,
    session: { ...placed.session, link: { ...placed.session.link, state: 'running' } },
    mode: leads ? { ...model.mode, stand } : follow,
    band: bandOf(scene),
    notice: '',
  };
}

/** A stand that follows before any song has come. */
export function waitingScene(scene: Scene = {}): Model {
  const model = bandScene(scene);
  return { ...model, session: { ...model.session, performance: null } };
}

/** Lines as text, without the spaces at their ends. */
export function texts(lines: readonly Line[]): string[] {
  return lines.map((line) => plainText(line).trimEnd());
}
