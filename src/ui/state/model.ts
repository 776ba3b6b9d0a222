import { noPedals, type Pedal, type PedalBoard } from '../../playback/pedals.js';
import { firstSession, type Session } from '../../playback/session.js';
import type { Binding } from '../keys/bindings.js';
import { usualBindings } from '../keys/bindings.js';
import type { BandSelf, BandView } from './band.js';
import { deaf, type EarView } from './ear.js';
import type { HintName } from './hint-names.js';
import type { Library } from './library.js';
import type { Look } from './look.js';
import type { Effect } from './messages.js';
import type { Mode } from './modes.js';
import type { Overlay } from './overlays.js';

/** How long was played without a rest, and after how long the stand says so; all in ms. */
export interface RestWatch {
  readonly limit: number | null;
  readonly played: number;
  /** When the clock was last looked at while the music ran; `null` before. */
  readonly last: number | null;
  readonly told: boolean;
}

/** Something that needs the same key pressed again: what it is, and when it was asked about, ms. */
export interface Confirm {
  readonly what: 'leave-set' | 'drop-transcript' | 'drop-edits' | 'leave-band' | 'turn-away';
  readonly at: number;
}

/** Everything the screen is drawn from. */
export interface Model {
  readonly size: { readonly columns: number; readonly rows: number };
  readonly look: Look;
  /** Every key there is, with the user's own. */
  readonly bindings: readonly Binding[];
  readonly mode: Mode;
  readonly overlay: Overlay | null;
  /** The player, and what it plays. */
  readonly session: Session;
  /** The microphone, and how it is there. */
  readonly ear: EarView;
  /** The band that it plays in; `null` while it plays alone. */
  readonly band: BandView | null;
  /** How it would be in a band; `null` where it cannot meet one. */
  readonly bandAs: BandSelf | null;
  /** The list that the mode leads back to, if there is one. */
  readonly library: Library | null;
  /** The pedals that are known, and what is being learned. */
  readonly pedals: PedalBoard;
  readonly ladder: ScreenSettings['ladder'];
  readonly rest: RestWatch;
  /** The voice that was chosen last in the list of voices, by its index. */
  readonly voice: number;
  /** The time it was at the last look, ms: for what counts down without music. */
  readonly at: number;
  readonly confirm: Confirm | null;
  /** The hints that a newcomer has still to see. */
  readonly hints: readonly HintName[];
  /** One line that the player should read. */
  readonly notice: string;
  /** The notice of a fault, while it is shown; others are plain news. */
  readonly wrong: string;
  /** A notice that is said once, and since when, ms: once it was there for long enough, the next key takes it away. */
  readonly once: { readonly text: string; readonly at: number } | null;
}

/** The result of an update: the next model and what to do. */
export interface Updated {
  readonly model: Model;
  readonly effects: readonly Effect[];
}

/** After how long playing without a rest the stand says so, unless the settings say otherwise, ms. */
export const usualRestAfter = 25 * 60_000;

/** What the user's settings say about the screen. */
export interface ScreenSettings {
  readonly bindings: readonly Binding[];
  readonly restAfter: number | null;
  readonly pedals?: readonly Pedal[];
  /** The hints that a newcomer has still to see; none when absent. */
  readonly hints?: readonly HintName[];
  /** Where ladders start, as a share of the target (`null`: as the drill says), and after how many clean passes they go up. */
  readonly ladder: { readonly start: number | null; readonly inRow: number };
}

/** The screen where the settings say nothing. */
export const usualScreen: ScreenSettings = {
  bindings: usualBindings,
  restAfter: usualRestAfter,
  ladder: { start: null, inRow: 2 },
};

/** A model before anything has happened. */
export function firstModel(
  look: Look,
  columns: number,
  rows: number,
  settings: ScreenSettings = usualScreen,
  bandAs: BandSelf | null = null,
): Model {
  return {
    size: { columns, rows },
    look,
    bindings: settings.bindings,
    mode: { kind: 'library' },
    overlay: null,
    session: firstSession,
    ear: deaf,
    band: null,
    bandAs,
    library: null,
    pedals: { ...noPedals, known: settings.pedals ?? [] },
    ladder: settings.ladder,
    rest: { limit: settings.restAfter, played: 0, last: null, told: false },
    voice: 0,
    at: 0,
    confirm: null,
    hints: settings.hints ?? [],
    notice: '',
    wrong: '',
    once: null,
  };
}
