import type { ReactNode } from 'react';
import { type Click, clickKinds } from '../../time/click.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** Bars with and without click that can be chosen. */
const gaps = [
  { heard: 3, silent: 1 },
  { heard: 2, silent: 2 },
  { heard: 1, silent: 3 },
  { heard: 4, silent: 4 },
];

/** The list of clicks. */
export function ClickScreen({
  model,
  dispatch,
  now,
}: {
  readonly model: Model;
  readonly dispatch: (message: Message) => void;
  readonly now: () => number;
}): ReactNode {
  const setup = model.session.performance?.setup;
  if (!setup) return null;
  const items = clickItems(setup.click);
  return (
    <ListScreen
      model={model}
      title="Click"
      foot="Enter takes it   Esc back"
      items={items}
      index={items.findIndex(({ value }) => sameClick(value, setup.click))}
      onSelect={(click) => dispatch({ kind: 'click-chosen', click, at: now() })}
    />
  );
}

function clickItems({ stages: _, ...now }: Click): ListItem<Click>[] {
  const kinds = clickKinds.map(
    ({ kind, says }): ListItem<Click> => ({
      key: kind,
      label: `${kind.padEnd(10)} ${says}`,
      value: { ...now, kind, gaps: null },
    }),
  );
  const withGaps = gaps.map(
    ({ heard, silent }): ListItem<Click> => ({
      key: `${heard}-${silent}`,
      label: `${`${heard} and ${silent}`.padEnd(10)} ${heard} ${bars(heard)} with a click, ${silent} without: to test your own time`,
      value: { ...now, kind: now.kind === 'off' ? 'every' : now.kind, gaps: { heard, silent } },
    }),
  );
  const inTwo: ListItem<Click> = {
    key: 'in-two',
    label: `${'in two'.padEnd(10)} only the first beat of every second bar`,
    value: { ...now, kind: 'first', gaps: { heard: 1, silent: 1 } },
  };
  return [...kinds, inTwo, ...withGaps];
}

function bars(count: number): string {
  return count === 1 ? 'bar' : 'bars';
}

function sameClick(one: Click, other: Click): boolean {
  return (
    one.kind === other.kind &&
    one.gaps?.heard === other.gaps?.heard &&
    one.gaps?.silent === other.gaps?.silent
  );
}
