import { leads } from '../../../band/band.js';
import { partNames } from '../../../band/parts.js';
import { safeText } from '../../../base/safe-text.js';
import type { Action } from '../../keys/actions.js';
import { bandRows, leaderName, membersInOrder } from '../../state/band.js';
import type { Model } from '../../state/model.js';
import { alone, fill, type Order, press, telling, type Word, wholeOf } from '../order.js';
import { counted, withoutKeys } from '../spoken.js';

const none = 'you play alone; lead leads a band';

/** Keys of the band's list, with it open in front. */
function inBand(steps: Order['steps'], answer?: Order['answer']): Order {
  return {
    steps: [press('band'), ...steps],
    answer: (before, after, said, sent) => {
      if (!after.bandAs) return 'no band can be met from here';
      const told = answer?.(before, after, said, sent) ?? '';
      return told !== '' ? told : said !== '' ? withoutKeys(said) : after.band ? 'done' : none;
    },
  };
}

/** Who is there, what is asked for, and where others join. */
function bandText({ band }: Model): string | readonly string[] {
  if (!band) return none;
  const others = membersInOrder(band.band);
  const leader = leaderName(band);
  const who = leads(band.band) ? 'you lead' : leader === null ? 'nobody leads' : `${safeText(leader)} leads`;
  const place = band.place ? `, join word ${band.place.word}` : '';
  const trouble = band.trouble === '' ? '' : `; ${safeText(band.trouble)}`;
  const rows = bandRows(band);
  const lines = leads(band.band)
    ? rows.map((row, index) =>
        row.kind === 'request'
          ? `${index + 1} ${safeText(row.from)} asks for ${safeText(row.title)}`
          : `${index + 1} ${safeText(row.member.name)}, ${row.member.part}`,
      )
    : others.map(({ name, part }) => `${safeText(name)}, ${part}`);
  return [`${who}${place}, ${counted(others.length, 'other stand')}${trouble}`, ...lines];
}

const calls: Readonly<Record<string, Action>> = {
  'once more': 'call-once-more',
  'last time': 'call-last-time',
  softer: 'call-softer',
  'key up': 'call-key-up',
  hold: 'call-hold',
  end: 'call-end',
};

/** Breaks are called by the keys of the words, in the order of the parts. */
const partKeys: readonly Action[] = [...Object.values(calls).slice(0, 4), 'call-break', 'call-hold'];

function call(rest: string): Order | string {
  const wanted = rest.toLowerCase();
  const action = calls[wanted];
  if (action) return inBand([press(action)], ({ band }) => (band ? `called: ${wanted}` : ''));
  const [, part] = /^break (\w+)$/.exec(wanted) ?? [];
  const at = partNames.map(String).indexOf(part ?? '');
  const key = partKeys[at];
  if (key)
    return inBand([press('call-break'), press(key)], ({ band }) => (band ? `called: break, ${part}` : ''));
  return `a word to call is ${Object.keys(calls).join(', ')}, or break with a part: ${partNames.map((one) => `break ${one}`).join(', ')}`;
}

/** The same key again, where that is asked for. */
function surely(what: NonNullable<Model['confirm']>['what'], action: Action): Order['steps'][number] {
  return { send: ({ confirm }, at) => (confirm?.what === what ? [{ kind: 'action', action, at }] : []) };
}

/** A line of the band's list by its number. */
function row(rest: string, does: Order['steps']): Order | string {
  const place = wholeOf(rest);
  if (place === null || place < 1) return 'name a line of the list by its number; band lists them';
  return inBand(
    [
      {
        send: (_, at) =>
          Array.from({ length: place - 1 }, () => ({ kind: 'action', action: 'band-on', at }) as const),
      },
      ...does,
    ],
    ({ band }) =>
      band && place > bandRows(band).length ? `the list has ${counted(bandRows(band).length, 'line')}` : '',
  );
}

function line(action: Action, rest: string, wrong: string): Order | string {
  return rest === '' ? wrong : inBand([press(action), ...fill(rest)]);
}

/** Several stands as one. */
export const bandWords: readonly Word[] = [
  {
    name: 'band',
    says: 'who is there, who leads, what is asked for: a list',
    group: 'a band',
    actions: ['band'],
    read: alone(() => telling((_, after) => bandText(after))),
  },
  {
    name: 'lead',
    says: 'lead a band, or take the lead',
    group: 'a band',
    actions: ['band', 'band-lead'],
    read: alone(() =>
      inBand([press('band-lead')], (before, { band }, said) =>
        said === '' && band
          ? before.band
            ? 'you take the lead'
            : 'connecting; the join word is announced when it is known'
          : '',
      ),
    ),
  },
  {
    name: 'lay down',
    says: 'lay the lead down',
    group: 'a band',
    actions: ['band', 'band-lay-down'],
    read: alone(() =>
      inBand([press('band-lay-down')], ({ band }) => (band && leads(band.band) ? 'you lead no longer' : '')),
    ),
  },
  {
    name: 'leave band',
    says: 'out of the band',
    group: 'a band',
    actions: ['band', 'band-leave'],
    // Keys ask twice against a slip; nobody types two words by a slip.
    read: alone(() => inBand([press('band-leave'), surely('leave-band', 'band-leave')])),
  },
  {
    name: 'ask',
    takes: 'a title',
    says: 'ask the leader for a song',
    group: 'a band',
    actions: ['band', 'band-request'],
    read: (rest) => line('band-request', rest, 'say which song: ask Mill Race'),
  },
  {
    name: 'keep chart',
    takes: 'a name',
    says: 'the leader’s chart among your own',
    group: 'a band',
    actions: ['band', 'band-keep-chart'],
    read: (rest) => line('band-keep-chart', rest, 'a chart is kept under a name: keep chart Mill Race'),
  },
  {
    name: 'call',
    takes: 'softer, or break banjo',
    says: 'a word to all: once more, last time, softer, key up, hold, end, a break',
    group: 'a band',
    actions: [
      'band',
      'call-once-more',
      'call-last-time',
      'call-softer',
      'call-key-up',
      'call-break',
      'call-hold',
      'call-end',
    ],
    read: call,
  },
  {
    name: 'take',
    takes: '1',
    says: 'leader: look up the song that was asked for, by its line in band',
    group: 'a band',
    actions: ['band', 'band-take'],
    read: (rest) => row(rest, [press('band-take')]),
  },
  {
    name: 'turn away',
    takes: '2',
    says: 'leader: drop a request, or turn a stand away, by its line in band',
    group: 'a band',
    actions: ['band', 'band-out'],
    read: (rest) => row(rest, [press('band-out'), surely('turn-away', 'band-out')]),
  },
];
