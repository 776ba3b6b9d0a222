import { SaxesParser } from 'saxes';
import { enableLog, enableLogToBuffer, LOG_WARNING, VerovioToolkit } from 'verovio/esm';
import createModule from 'verovio/wasm';

/*
 * What a general engraving library makes of a score or a tune. It knows nothing of how ours are written: what it tells was
 * read by the rules of MusicXML and ABC alone.
 */

/** A measure as it was engraved. Chords in order, each with its place in quarters where that is known. */
export interface EngravedMeasure {
  readonly chords: readonly string[];
  readonly at: readonly number[];
  /** Quarters of the notes or rests in it. */
  readonly length: number;
  /** `rptstart`, `rptend`, `dbl`; none where it is a plain bar line. */
  readonly left: string | null;
  readonly right: string | null;
  /** The numbers of the ending it stands in. */
  readonly ending: string | null;
  readonly rehearsal: string | null;
  readonly words: readonly string[];
  /** The meter and signature that hold, `3/4` and `2f`. */
  readonly meter: string;
  readonly signature: string;
  readonly tempo: number | null;
}

/** What was engraved: measures as they stand, and as repeats and endings have them played; what the library complained of. */
export interface Engraved {
  readonly title: string;
  readonly mode: string | null;
  readonly measures: readonly EngravedMeasure[];
  readonly played: readonly EngravedMeasure[];
  readonly log: readonly string[];
}

const module = await createModule();
enableLogToBuffer(true, module);
enableLog(LOG_WARNING, module);
const toolkit = new VerovioToolkit(module);

/** Engraves MusicXML or ABC. Throws when the library cannot read it. */
export function engraved(text: string): Engraved {
  if (toolkit.loadData(text) !== 1) throw new Error(`it is not read: ${toolkit.getLog()}`);
  const log = toolkit.getLog().split('\n').filter(Boolean);
  return { ...fromMei(toolkit.getMEI({})), log };
}

interface Node {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Node[];
  text: string;
}

function treeOf(xml: string): Node {
  const top: Node = { name: '', attributes: {}, children: [], text: '' };
  const stack = [top];
  const parser = new SaxesParser();
  parser.on('opentag', ({ name, attributes }) => {
    const node: Node = { name, attributes: attributes as Record<string, string>, children: [], text: '' };
    stack.at(-1)?.children.push(node);
    stack.push(node);
  });
  parser.on('text', (chunk) => {
    for (const node of stack) node.text += chunk;
  });
  parser.on('closetag', () => void stack.pop());
  parser.write(xml).close();
  return top;
}

const all = (node: Node, name: string): Node[] =>
  node.children.flatMap((child) => [...(child.name === name ? [child] : []), ...all(child, name)]);

function fromMei(mei: string): Omit<Engraved, 'log'> {
  const tree = treeOf(mei);
  const measures: EngravedMeasure[] = [];
  const byId = new Map<string, EngravedMeasure[]>();
  const plans: string[][] = [];
  let meter = '';
  let ppq = Number.NaN;
  let signature = '0';
  let mode: string | null = null;
  const take = (node: Node): void => {
    // MEI has signatures as elements or as attributes.
    const count = node.attributes['meter.count'] ?? (node.name === 'meterSig' ? node.attributes.count : null);
    const unit = node.attributes['meter.unit'] ?? (node.name === 'meterSig' ? node.attributes.unit : null);
    ppq = Number(node.attributes.ppq ?? ppq);
    if (count && unit) meter = `${count}/${unit}`;
    signature = (node.name === 'keySig' ? node.attributes.sig : node.attributes.keysig) ?? signature;
    mode ??= (node.name === 'keySig' ? node.attributes.mode : node.attributes['key.mode']) ?? null;
  };
  const walk = (node: Node, ending: string | null): EngravedMeasure[] => {
    if (node.name === 'measure') {
      const measure = measureOf(node, { meter, signature, ending }, ppq);
      measures.push(measure);
      return [measure];
    }
    if (node.name === 'expansion') plans.push((node.attributes.plist ?? '').split(/\s+/).filter(Boolean));
    take(node);
    const within = node.children.flatMap((child) =>
      walk(child, node.name === 'ending' ? (node.attributes.n ?? '') : ending),
    );
    byId.set(node.attributes['xml:id'] ?? '', within);
    return within;
  };
  walk(tree, null);
  const played = plans.flatMap((plan) => plan.flatMap((id) => byId.get(id.slice(1)) ?? []));
  return {
    title: all(tree, 'title')[0]?.text.trim() ?? '',
    mode,
    measures,
    played: plans.length > 0 ? played : measures,
  };
}

/** What takes time in a layer, also within beams and tuplets; of notes that sound together the chord. */
const timed = (node: Node): Node[] =>
  node.children.flatMap((child) => (child.attributes.dur === undefined ? timed(child) : [child]));

/** How long it sounds, by the duration that the file gives it; where it gives none, by what is seen. */
function quarters({ attributes }: Node, ppq: number): number {
  const { dur, dots } = attributes;
  const given = Number(attributes['dur.ppq']) / ppq;
  return Number.isNaN(given) ? (4 / Number(dur)) * (2 - 2 ** -Number(dots ?? 0)) : given;
}

function measureOf(
  node: Node,
  holds: { meter: string; signature: string; ending: string | null },
  ppq: number,
): EngravedMeasure {
  const starts = new Map<string, number>();
  let length = 0;
  for (const sounding of all(node, 'layer').flatMap(timed)) {
    starts.set(sounding.attributes['xml:id'] ?? '', length);
    length += quarters(sounding, ppq);
  }
  // Words of an annotation stand in a `harm` of their own, which begins with no note.
  const harms = all(node, 'harm').filter(({ attributes }) => attributes.startid || attributes.tstamp);
  const beat = 4 / Number(holds.meter.split('/')[1]);
  return {
    ...holds,
    length,
    chords: harms.map(({ text }) => text.trim().replace(/♭/g, 'b').replace(/♯/g, '#')),
    at: harms.map(({ attributes }) =>
      attributes.startid
        ? (starts.get(attributes.startid.slice(1)) ?? Number.NaN)
        : (Number(attributes.tstamp) - 1) * beat,
    ),
    left: node.attributes.left ?? null,
    right: node.attributes.right === 'single' ? null : (node.attributes.right ?? null),
    rehearsal: all(node, 'reh')[0]?.text.trim() ?? null,
    words: all(node, 'dir').map(({ text }) => text.trim()),
    tempo: Number(all(node, 'tempo')[0]?.attributes.mm ?? Number.NaN) || null,
  };
}
