import type { ReactNode } from 'react';
import { safeText } from '../../base/safe-text.js';
import { isMadeFor, type Pattern, patterns } from '../../time/pattern.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** The list of right-hand patterns. */
export function PatternScreen({
  model,
  dispatch,
}: {
  readonly model: Model;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
  const { performance } = model.session;
  const setup = performance?.setup;
  if (!setup) return null;
  // Only patterns whose meter some bar has.
  const meters = [setup.chart.meter, ...(performance?.arrangement?.bars ?? []).map(({ meter }) => meter)];
  const chart: ListItem<Pattern | null> = {
    key: 'chart',
    label: `${'chart'.padEnd(13)} as the chart has it`,
    value: null,
  };
  const items = [
    chart,
    ...[...setup.patterns, ...patterns.filter((one) => meters.some((meter) => isMadeFor(one, meter)))].map(
      (pattern, index): ListItem<Pattern | null> => ({
        key: `${index} ${pattern.name}`,
        label: `${safeText(pattern.name).padEnd(13)} ${safeText(pattern.says)}`,
        value: pattern,
      }),
    ),
  ];
  return (
    <ListScreen
      model={model}
      title="Right-hand pattern"
      foot="type to search   Enter takes it   Esc back"
      items={items}
      index={items.findIndex(({ value }) => (value?.name ?? null) === (setup.pattern?.name ?? null))}
      onSelect={(pattern) => dispatch({ kind: 'pattern-chosen', pattern })}
    />
  );
}
