import { jsonText } from '../../base/json.js';
import { safeText } from '../../base/safe-text.js';
import { wrapText } from '../../base/wrap-text.js';
import { canBeHeard, checkNames, type State, statusOf, type Verdict } from './verdict.js';

/** The version of the JSON document: it changes when a value changes its meaning or goes away. */
const version = 1;

const words: Readonly<Record<State, string>> = {
  works: 'works',
  fails: 'does not work',
  untried: 'not tried',
};
const nameWidth = Math.max(...checkNames.map((name) => name.length)) + 2;
const stateWidth = Math.max(...Object.values(words).map((text) => text.length)) + 2;

/**
 * The verdicts for a person, in their order, each on a line: the thing, whether it works, what was found and what to do; then a conclusion.
 *
 * @param columns of a terminal, on which lines that are longer go on below; `null`: each is one line, however long
 */
export function reportLines(verdicts: readonly Verdict[], columns: number | null): readonly string[] {
  const lines = inOrder(verdicts).flatMap((one) => verdictLines(one, columns));
  const last = wrapped(conclusion(verdicts), columns, 0);
  return [...lines, ...last];
}

function verdictLines({ name, state, says, todo }: Verdict, columns: number | null): readonly string[] {
  const head = name.padEnd(nameWidth) + words[state].padEnd(stateWidth);
  const text = safeText(todo === null ? says : `${says}; ${todo}`);
  const [first = '', ...more] = wrapped(text, columns, head.length);
  return [head + first, ...more.map((line) => ' '.repeat(head.length) + line)];
}

function wrapped(text: string, columns: number | null, indent: number): readonly string[] {
  return columns === null ? [text] : wrapText(text, Math.max(20, columns - indent));
}

/** The conclusion, in a sentence. */
function conclusion(verdicts: readonly Verdict[]): string {
  const status = statusOf(verdicts);
  const ways = verdicts
    .filter(({ needed, state }) => needed === 'one' && state === 'works')
    .map(({ name }) => (name === 'sound' ? 'the built-in sound' : 'MIDI'));
  const heard = ways.length === 0 ? '' : `, and it is heard through ${ways.join(' and ')}`;
  if (status === 0) return `Everything that is needed works${heard}.`;
  const lacking = inOrder(verdicts).filter(
    ({ needed, state }) => needed !== 'no' && needed !== 'one' && state === 'fails',
  );
  const unheard = canBeHeard(verdicts) ? [] : ['sound or MIDI (one of them is enough)'];
  return `To fix: ${[...unheard, ...lacking.map(({ name }) => name)].join(', ')}.`;
}

/** The verdicts for programs. */
export function reportJson(verdicts: readonly Verdict[]): string {
  const checks = inOrder(verdicts).map(({ name, state, needed, says, todo, found }) => ({
    name,
    state,
    needed,
    says,
    todo,
    found,
  }));
  return jsonText({ version, status: statusOf(verdicts), heard: canBeHeard(verdicts), checks }, 2);
}

function inOrder(verdicts: readonly Verdict[]): readonly Verdict[] {
  return verdicts.toSorted((one, other) => checkNames.indexOf(one.name) - checkNames.indexOf(other.name));
}
