import { safeText } from '../../base/safe-text.js';
import { sameKey } from '../../theory/key.js';
import type { Model } from '../state/model.js';
import type { SetMode } from '../state/modes.js';
import { drillOf, noticeNow, standMode } from '../state/select.js';
import { barWords, headIn, headWords, isNews } from './bar-words.js';
import { cardWords, partOf, sittingWords, toldOf } from './from-model.js';
import type { Talk } from './order.js';
import { capoWords } from './part-words.js';
import { counted, spokenWritten, withoutKeys } from './spoken.js';

/** Lines that are told by themselves: what happens in the music, and remarks. */
export interface ToldLines {
  readonly music: readonly string[];
  /** The bar that begins, or empty. */
  readonly bar: string;
  readonly remarks: readonly string[];
}

/**
 * What is told by itself of what has changed. `busy`: a command is being carried out, whose answer says what it did.
 */
export function toldOfChange(before: Model, after: Model, talk: Talk, busy: boolean): ToldLines {
  const music = [
    ...(busy ? [] : placeLines(before, after)),
    ...capoLines(before, after),
    ...drillLines(before, after),
    ...endLines(before, after),
    ...bandLines(before, after),
  ];
  const notice = withoutKeys(noticeNow(after));
  const isNew = !busy && notice !== '' && after.notice !== before.notice;
  const remarks = [
    ...(after.session.link.output !== before.session.link.output && after.session.link.output !== null
      ? [`playing to: ${safeText(after.session.link.output)}`]
      : []),
    ...(isNew ? [notice] : []),
    ...tuningLines(before, after),
  ];
  return { music, bar: barLine(before, after, talk), remarks };
}

/** What has come onto the stand, or in front of it. */
function placeLines(before: Model, after: Model): readonly string[] {
  const { mode, session } = after;
  if (mode.kind === 'set') return setLines(before, after, mode);
  if (mode.kind === 'sitting' && mode.phase !== 'playing')
    return before.mode.kind === 'sitting' && before.mode.phase === mode.phase && before.mode.at === mode.at
      ? []
      : [sittingWords(after)];
  const chart = session.performance?.setup.chart;
  const was = before.session.performance?.setup.chart;
  const isOther = chart !== was && (chart?.title !== was?.title || before.mode.kind !== mode.kind);
  return session.performance && isOther ? [headIn(after, session.performance.setup)] : [];
}

function setLines(before: Model, after: Model, mode: SetMode): readonly string[] {
  const was = before.mode.kind === 'set' ? before.mode : null;
  const isSame =
    was && was.run.phase === mode.run.phase && was.run.at === mode.run.at && was.broken === mode.broken;
  if (isSame) return [];
  if (mode.run.phase !== 'song') return [cardWords(after, mode)];
  const { performance } = after.session;
  return performance ? [headWords(performance.setup)] : [];
}

/** The capo that a part of a band plays with, where another song or key has come. */
function capoLines(before: Model, after: Model): readonly string[] {
  const [was, is] = [before.session.performance?.setup, after.session.performance?.setup];
  const part = partOf(after);
  if (!is || !part || (is.chart === was?.chart && sameKey(is.key, was.key))) return [];
  return capoWords(is.key, part);
}

/** The bar that begins; empty where none does. */
function barLine(before: Model, after: Model, talk: Talk): string {
  const { performance } = after.session;
  const was = before.session.performance;
  if (!performance || performance.cursor.beat === null || talk === 'nothing') return '';
  // What is asked by ear is not told; a cursor that stands still, and a tuning, are no bar that begins.
  if (performance.cursor === was?.cursor || performance.tuning || drillOf(after.mode)?.dictation) return '';
  const { counting, pass, bar } = performance.cursor;
  if (counting) return 'count-in';
  if (after.mode.kind === 'click') return talk === 'changes' ? '' : `bar ${pass}`;
  if (talk === 'changes' && !isNews(performance, pass, bar)) return '';
  return barWords(performance, pass, bar, toldOf(after));
}

/** A drill asks, or goes to another tempo; what was heard; a phrase by ear is over. */
function drillLines(before: Model, after: Model): readonly string[] {
  const [was, is] = [drillOf(before.mode), drillOf(after.mode)];
  const heard = standMode(after)?.stand.heard ?? null;
  const isHeard = heard && heard !== standMode(before)?.stand.heard;
  const lines =
    isHeard && heard.says.length > 0 ? [heard.says.map(safeText).map(withoutKeys).join('; ')] : [];
  if (!is) return lines;
  const asks = is.asking !== null && (was?.asking ?? null) === null;
  const climbed = was?.ladder && is.ladder && was.drill === is.drill && was.ladder.bpm !== is.ladder.bpm;
  const told = is.dictation?.phase === 'told' && was?.dictation?.phase !== 'told' ? is.dictation : null;
  return [
    ...lines,
    ...(asks ? ['was it clean? yes or no'] : []),
    ...(climbed && is.ladder ? [`at ${Math.round(is.ladder.bpm)} now`] : []),
    ...(told
      ? [
          told.figures
            ? `it was: ${told.figures.moves
                .map(
                  ([, to, answered, right]) =>
                    `${spokenWritten(to)}, ${right ? 'right' : answered === null ? 'no answer' : spokenWritten(answered)}`,
                )
                .join('; ')}; next goes on`
            : 'the phrase was broken off; next goes on',
        ]
      : []),
  ];
}

/** The music has come to its end by itself. */
function endLines(before: Model, after: Model): readonly string[] {
  const ended = before.session.link.state === 'running' && after.session.link.state === 'stopped';
  if (!ended || after.mode.kind === 'set' || after.mode.kind === 'sitting') return [];
  return before.session.performance?.tuning || drillOf(after.mode) ? [] : ['the end'];
}

/** What the band says, and where others join. */
function bandLines(before: Model, after: Model): readonly string[] {
  const [was, is] = [before.band, after.band];
  if (!is) return [];
  const place =
    is.place && is.place.address !== was?.place?.address
      ? is.began === 'lead'
        ? [`join word: ${is.place.word}`, `join address: ${is.place.address}`]
        : [`joined the band at ${is.place.address}`]
      : [];
  const talk =
    is.talk && is.talk !== was?.talk && is.talk.from !== is.band.name
      ? [`${safeText(is.talk.from)} calls: ${safeText(is.talk.text)}`]
      : [];
  const wish = is.requests.at(-1);
  const asked =
    wish && is.requests.length > (was?.requests.length ?? 0)
      ? [`${safeText(wish.from)} asks for ${safeText(wish.title)}; take ${is.requests.length} looks it up`]
      : [];
  const set = is.band.set;
  const order =
    set && set !== was?.band.set && is.began === 'join'
      ? [`set ${safeText(set.title)}: ${counted(set.songs.length, 'song')}`]
      : [];
  const noted = is.noted !== '' && is.noted !== was?.noted ? [`note: ${safeText(is.noted)}`] : [];
  const results = [...is.results]
    .filter(([id, one]) => was?.results.get(id) !== one)
    .map(([, { from, pass, line }]) => `${safeText(from)}, pass ${pass}: ${withoutKeys(safeText(line))}`);
  return [...place, ...talk, ...asked, ...order, ...noted, ...results];
}

/** A course was struck and heard. */
function tuningLines({ overlay: was }: Model, { overlay: is }: Model): readonly string[] {
  if (is?.kind !== 'tuning' || was?.kind !== 'tuning') return [];
  if (is.remark !== '' && is.remark !== was.remark) return [is.remark];
  const tuned = is.courses[is.at];
  if (!tuned || is.courses === was.courses) return [];
  const cents = Math.round(tuned.cents);
  const way = cents === 0 ? 'in tune' : `${counted(Math.abs(cents), 'cent')} ${cents > 0 ? 'sharp' : 'flat'}`;
  return [`course ${is.at + 1}: ${way}, its strings ${counted(Math.round(tuned.apartCents), 'cent')} apart`];
}
