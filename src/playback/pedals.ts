import { good, misread, type Outcome } from '../base/outcome.js';

/** What a pedal can be for; what each use does depends on what is on the screen. */
export const pedalUses = [
  'play',
  'next',
  'back',
  'again',
  'extend',
  'ending',
  'hold',
  'clean',
  'miss',
  'later',
  'chord',
] as const;
export type PedalUse = (typeof pedalUses)[number];

/** What each use is called where pedals are chosen. */
export const pedalWords: Readonly<Record<PedalUse, string>> = {
  play: 'play or pause; on a card: begin',
  next: 'the next song’s card, or the next section',
  back: 'the card before, or the section before',
  again: 'this song again',
  extend: 'once more through this section',
  ending: 'to the ending, when this section is over',
  hold: 'wait on this chord, and go on',
  clean: 'this pass was clean',
  miss: 'this pass was missed',
  later: 'look at this later',
  chord: 'the next chord, in the drill of their order',
};

/** What a foot switch with a MIDI plug sends. */
export const pedalKinds = ['control', 'note', 'program'] as const;
export type PedalKind = (typeof pedalKinds)[number];

/** A pedal by what it sends: control or note number from 0, program from 1; `channel` 1–16, or any. */
export interface PedalSign {
  readonly kind: PedalKind;
  readonly number: number;
  readonly channel: number | null;
}

/** A pedal and what it is for. `long`: held down for a while. */
export interface Pedal {
  readonly use: PedalUse;
  readonly sign: PedalSign;
  readonly long: boolean;
}

/** A pedal that is down: since when (ms), and whether what it does when held has been done. */
export interface PedalDown {
  readonly sign: PedalSign;
  readonly since: number;
  readonly done: boolean;
}

/** The pedals: known ones, those that are down, when each was last released or pressed, and the use that is being learned. */
export interface PedalBoard {
  readonly known: readonly Pedal[];
  readonly down: readonly PedalDown[];
  /** When each pedal was last heard, ms, by its text. */
  readonly heard: ReadonlyMap<string, number>;
  readonly learning: PedalUse | null;
}

/** No pedal at all. */
export const noPedals: PedalBoard = { known: [], down: [], heard: new Map(), learning: null };

/** Within this time a switch that closes again has not been released: contacts bounce for some ms (common practice: 5 to 50). */
export const bounceMs = 40;
/** A pedal that is down for this long counts as held. */
export const longMs = 600;

/** A pedal's sign as settings have it: `control 64`, `note 60, channel 2`. */
export function signText({ kind, number, channel }: PedalSign): string {
  return `${kind} ${number}${channel === null ? '' : `, channel ${channel}`}`;
}

/** A pedal as settings have it, without its use: `control 64, long`. */
export function pedalText({ sign, long }: Pick<Pedal, 'sign' | 'long'>): string {
  return `${signText(sign)}${long ? ', long' : ''}`;
}

/** Reads `control 64, channel 2, long`. */
export function parsePedal(text: string): Outcome<Pick<Pedal, 'sign' | 'long'>> {
  const match = /^(control|note|program)\s+(\d{1,3})(?:\s*,\s*channel\s+(\d{1,2}))?(\s*,\s*long)?$/.exec(
    text.trim(),
  );
  const kind = match?.[1] as PedalKind | undefined;
  const number = Number(match?.[2] ?? Number.NaN);
  const channel = match?.[3] === undefined ? null : Number(match[3]);
  const least = kind === 'program' ? 1 : 0;
  const inRange = number >= least && number <= 127 + least;
  if (!kind || !inRange || (channel !== null && (channel < 1 || channel > 16)))
    return misread(
      'a pedal is “control 64”, “note 60” or “program 5”, with “, channel 2” and “, long” where that is wanted',
    );
  if (match?.[4] !== undefined && kind === 'program')
    return misread('a program change does not say when the pedal is let go, so it cannot be long');
  return good({ sign: { kind, number, channel }, long: match?.[4] !== undefined });
}

/** What a message says of a pedal: which, and whether it goes down; `null` when it is not a pedal's. */
export function pedalMessage(
  status: number,
  data1: number,
  data2: number,
): { sign: PedalSign; down: boolean } | null {
  const channel = (status & 0x0f) + 1;
  switch (status & 0xf0) {
    case 0x80:
      return { sign: { kind: 'note', number: data1, channel }, down: false };
    case 0x90:
      return { sign: { kind: 'note', number: data1, channel }, down: data2 > 0 };
    case 0xb0:
      // Numbers from 120 on are modes of the channel, not switches; 64 and above is on (MIDI 1.0).
      return data1 >= 120 ? null : { sign: { kind: 'control', number: data1, channel }, down: data2 >= 64 };
    case 0xc0:
      return { sign: { kind: 'program', number: data1 + 1, channel }, down: true };
    default:
      return null;
  }
}

/** Whether a pedal's sign is what was heard: one without a channel is any. */
export function isSign(sign: PedalSign, heard: PedalSign): boolean {
  return (
    sign.kind === heard.kind &&
    sign.number === heard.number &&
    (sign.channel === null || sign.channel === heard.channel)
  );
}

/** What a message of a pedal does: the board afterwards, and the uses that are asked for now. */
export function pedalHeard(
  board: PedalBoard,
  { sign, down }: { readonly sign: PedalSign; readonly down: boolean },
  at: number,
): { readonly board: PedalBoard; readonly uses: readonly PedalUse[] } {
  const name = signText(sign);
  const last = board.heard.get(name) ?? Number.NEGATIVE_INFINITY;
  const matching = board.known.filter((pedal) => isSign(pedal.sign, sign));
  const wasDown = board.down.find((one) => signText(one.sign) === name);
  const others = board.down.filter((one) => one !== wasDown);
  if (down) {
    const heard = new Map(board.heard).set(name, at);
    // A bouncing contact. Later than that it is another press: some pedals never report their release.
    if (at - last < bounceMs) return { board: { ...board, heard }, uses: [] };
    const hasLong = matching.some(({ long }) => long);
    const now = sign.kind === 'program' || !hasLong ? matching.filter(({ long }) => !long) : [];
    const held = sign.kind === 'program' ? others : [...others, { sign, since: at, done: !hasLong }];
    return { board: { ...board, heard, down: held }, uses: now.map(({ use }) => use) };
  }
  const heard = new Map(board.heard).set(name, at);
  if (!wasDown) return { board: { ...board, heard }, uses: [] };
  const short = wasDown.done ? [] : matching.filter(({ long }) => !long);
  return { board: { ...board, heard, down: others }, uses: short.map(({ use }) => use) };
}

/** Time has come to `at`: pedals that are held down long enough do what they do when held. */
export function pedalsDue(
  board: PedalBoard,
  at: number,
): { readonly board: PedalBoard; readonly uses: readonly PedalUse[] } {
  const due = board.down.filter(({ since, done }) => !done && at - since >= longMs);
  if (due.length === 0) return { board, uses: [] };
  const uses = due.flatMap(({ sign }) =>
    board.known.filter((pedal) => pedal.long && isSign(pedal.sign, sign)).map(({ use }) => use),
  );
  const down = board.down.map((one) => (due.includes(one) ? { ...one, done: true } : one));
  return { board: { ...board, down }, uses };
}

/** When a pedal that is down will have been held long enough, ms; `null` when none will. */
export function pedalsDueAt({ down }: PedalBoard): number | null {
  const waiting = down.filter(({ done }) => !done).map(({ since }) => since + longMs);
  return waiting.length === 0 ? null : Math.min(...waiting);
}

/** A use and its pedal put among those that are known; the use's other pedals of the same length, and what this pedal did, go. */
export function learned(known: readonly Pedal[], pedal: Pedal): readonly Pedal[] {
  const others = known.filter(
    ({ use, sign, long }) => use !== pedal.use && !(long === pedal.long && isSign(sign, pedal.sign)),
  );
  return [...others, pedal];
}
