import { textWidth } from '../../base/text-width.js';
import { leastSize } from '../../ui/draw/stand.js';
import type { Rgb } from '../../ui/state/look.js';
import { type Verdict, whatAndTodo } from './verdict.js';

/** What is known of the terminal without asking it. */
export interface TerminalSigns {
  /** Why there can be no full screen, `null` where there can. */
  readonly lack: string | null;
  /** Whether stdin and stdout are terminals. */
  readonly isTerminal: boolean;
  readonly columns: number;
  readonly rows: number;
  /** Whether the program draws in colour, and with more than plain characters. */
  readonly colour: boolean;
  readonly unicode: boolean;
  /** Bits of colour as its variables tell them: 1, 4, 8 or 24. */
  readonly depth: number;
  /** NO_COLOR, TERM, COLORTERM, and what says the encoding. */
  readonly env: Readonly<Record<string, string | undefined>>;
  /** What settings or variables say of the background. */
  readonly background: { readonly by: string; readonly is: 'light' | 'dark' } | null;
}

/** What a terminal answered. */
export interface TerminalAnswers {
  /** Why it was not asked; `null` where it was. */
  readonly unasked: string | null;
  readonly background: Rgb | null;
  /** How many columns each sign took, in their order; fewer than were asked for where it answered no more. */
  readonly widths: readonly number[];
}

const noTerminal = 'stdin and stdout are not a terminal; run it in one, without pipes, to try this';

/** Whether the full screen has room. */
export function judgeSize({ lack, isTerminal, columns, rows, env }: TerminalSigns): Verdict {
  const base = {
    name: 'terminal',
    needed: 'machine',
    found: { columns, rows, term: env.TERM ?? null },
  } as const;
  if (!isTerminal) return untried({ ...base, found: {} }, noTerminal);
  const has = `${columns} columns by ${rows} rows`;
  const needs = `${leastSize.columns} by ${leastSize.rows}`;
  if (lack !== null)
    return {
      ...base,
      state: 'fails',
      says: lack,
      todo: 'use a terminal that has one, or play with a line a bar: barkline play CHART --plain',
    };
  if (columns < leastSize.columns || rows < leastSize.rows)
    return {
      ...base,
      state: 'fails',
      says: `it has ${has}, and ${needs} are needed`,
      todo: 'make its window larger, or its letters smaller',
    };
  return { ...base, state: 'works', says: `${has}; ${needs} are needed`, todo: null };
}

/** Colours: as the terminal’s variables tell them. */
export function judgeColours({ isTerminal, colour, depth, env }: TerminalSigns): Verdict {
  const base = {
    name: 'colours',
    needed: 'no',
    found: {
      depth,
      term: env.TERM ?? null,
      colorterm: env.COLORTERM ?? null,
      noColor: Boolean(env.NO_COLOR),
    },
  } as const;
  if (!isTerminal) return untried(base, noTerminal);
  if (env.NO_COLOR)
    return {
      ...base,
      state: 'works',
      says: 'none are used, as NO_COLOR asks',
      todo: 'unset NO_COLOR to have them',
    };
  if (!colour || depth < 4)
    return {
      ...base,
      state: 'fails',
      says: `TERM is “${env.TERM ?? ''}”, a terminal without colours`,
      todo: 'if it has them, set TERM to its name, such as xterm-256color',
    };
  const known = depth >= 24 ? 'all' : `${2 ** depth}`;
  return {
    ...base,
    state: 'works',
    says: `16 are used, and ${known} are known (TERM is “${env.TERM ?? ''}”)`,
    todo: null,
  };
}

/** Whether the background is known. */
export function judgeBackground(signs: TerminalSigns, answers: TerminalAnswers): Verdict {
  const rgb = answers.background;
  const base = {
    name: 'background',
    needed: 'no',
    found: { answered: rgb !== null, rgb: rgb?.map((part) => Math.round(255 * part)) ?? null },
  } as const;
  if (signs.background) {
    const { by, is } = signs.background;
    return { ...base, state: 'works', says: `${is}, as ${by} says`, todo: null };
  }
  if (!signs.isTerminal) return untried(base, noTerminal);
  if (answers.unasked !== null) return untried(base, answers.unasked);
  if (rgb === null)
    return {
      ...base,
      state: 'fails',
      says: 'the terminal does not report its background (OSC 11)',
      todo: 'write “background: light” or “background: dark” into settings.yaml',
    };
  return { ...base, state: 'works', says: `the terminal reports it: ${hex(rgb)}`, todo: null };
}

/** Whether each sign that is drawn takes the columns that it is taken to. */
export function judgeSigns(
  signs: TerminalSigns,
  answers: TerminalAnswers,
  drawn: readonly string[],
): Verdict {
  const { widths } = answers;
  const wrong = drawn.flatMap((sign, at) => {
    const takes = widths[at];
    return takes === undefined || takes === textWidth(sign)
      ? []
      : [{ sign, takes, expected: textWidth(sign) }];
  });
  const base = {
    name: 'signs',
    needed: 'no',
    found: { asked: drawn.length, answered: widths.length, wrong },
  } as const;
  if (!signs.isTerminal) return untried(base, noTerminal);
  if (!signs.unicode)
    return untried(
      base,
      `plain characters are drawn, since ${whyPlain(signs.env)}; set LANG to a name that ends in .UTF-8 to have ♭, ♯ and bars`,
    );
  if (answers.unasked !== null) return untried(base, answers.unasked);
  if (wrong.length > 0)
    return {
      ...base,
      state: 'fails',
      says: wrong
        .slice(0, 8)
        .map(({ sign, takes, expected }) => `“${sign}” takes ${takes} columns instead of ${expected}`)
        .join(', '),
      todo: 'set the terminal to UTF-8 and its “ambiguous width” to narrow, or start with --no-unicode',
    };
  if (widths.length < drawn.length)
    return untried(
      base,
      'the terminal does not report where its cursor is (DSR 6); where the screen looks ragged, start with --no-unicode',
    );
  return {
    ...base,
    state: 'works',
    says: `all ${drawn.length} that are drawn take the columns they should`,
    todo: null,
  };
}

function untried(base: Pick<Verdict, 'name' | 'needed' | 'found'>, why: string): Verdict {
  return { ...base, state: 'untried', ...whatAndTodo(why) };
}

function whyPlain(env: TerminalSigns['env']): string {
  if (env.TERM === 'linux') return 'the console has no others';
  const [name, value] =
    (['LC_ALL', 'LC_CTYPE', 'LANG'] as const).map((one) => [one, env[one]] as const).find(([, one]) => one) ??
    [];
  return name === undefined ? 'the locale has no UTF-8' : `${name} is “${value}”, which has no UTF-8`;
}

function hex(rgb: Rgb): string {
  return `#${rgb
    .map((part) =>
      Math.round(255 * part)
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;
}
