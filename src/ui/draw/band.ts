import { partNames } from '../../band/parts.js';
import { talkWords } from '../../band/talk.js';
import { bandRows, leaderName } from '../state/band.js';
import type { Model } from '../state/model.js';
import type { BandOverlay } from '../state/overlays.js';
import { fitText, type Line, piece } from './line.js';

/** The band as an overlay, line by line. */
export function bandLines(model: Model, overlay: BandOverlay): Line[] {
  const { band: view, size } = model;
  const line = (text: string, style: 'plain' | 'title' | 'here' | 'warn' | 'dim' = 'plain'): Line => [
    piece(fitText(` ${text}`, size.columns), style),
  ];
  if (!view)
    return [line('You play alone', 'title'), [], line('l leads a band'), [], line(model.notice, 'warn')];
  const rows = bandRows(view).map((row, index) =>
    line(
      row.kind === 'request'
        ? `asked for: ${row.title} (${row.from})`
        : `${row.member.name}, ${row.member.part}`,
      index === overlay.chosen ? 'here' : 'plain',
    ),
  );
  const list = overlay.whose ? partNames : talkWords;
  return [
    line(`Led by ${leaderName(view) ?? 'nobody'}`, 'title'),
    ...(view.place ? [line(`word ${view.place.word}, at ${view.place.address}`)] : []),
    line(view.trouble, 'warn'),
    ...rows,
    [],
    line(list.map((one, index) => `${index + 1} ${one}`).join('   ')),
    line(model.notice, 'warn'),
  ];
}

/** A follower's screen before the first song. */
export function waitingLines(model: Model): Line[] {
  const { band: view, size } = model;
  const line = (text: string, style: 'plain' | 'title' | 'warn' = 'plain'): Line => [
    piece(fitText(` ${text}`, size.columns), style),
  ];
  const leader = view && leaderName(view);
  return [
    line(leader == null ? 'Waiting for a leader' : `${leader} leads; waiting for the first song`, 'title'),
    [],
    ...(view?.band.notes ?? []).map((text) => line(text)),
    line(view?.trouble ?? '', 'warn'),
    line(model.notice, 'warn'),
  ];
}
