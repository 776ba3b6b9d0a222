import { say } from './say.js';
import type { Take, TakenPass } from './take.js';

/** A tempo that changes by less from beginning to end is not mentioned: people notice some 2 % (as of `justNoticed`). */
const leastChange = 0.025;

/** The most passes that are described in full: more would not fit a screen. */
const mostWhole = 4;

/** What a player is told about a recording: for each pass where it is, its tempo, and the verdict. `bpm`: the chart's tempo. */
export function sayTake({ passes }: Take, { bpm }: { readonly bpm: number }): string[] {
  const lines = passes
    .slice(0, mostWhole)
    .flatMap((pass, index) => [
      `${passes.length > 1 ? `Pass ${index + 1}: ` : ''}${headOf(pass, bpm)}`,
      ...say(pass.verdict, { bpm: bpm / pass.slowness.first }).map((line) => `  ${line}`),
    ]);
  const rest = passes.slice(mostWhole);
  return [
    ...lines,
    ...rest.map((pass, index) => `Pass ${mostWhole + index + 1}: ${headOf(pass, bpm)}`),
  ].slice(0, 24);
}

function headOf({ verdict, start, slowness, endsIn }: TakenPass, bpm: number): string {
  const [first, last] = [bpm / slowness.first, bpm / slowness.last];
  const isEven = Math.abs(last / first - 1) < leastChange;
  const tempo = isEven
    ? `${Math.round((first + last) / 2)} bpm`
    : `${Math.round(first)} bpm, ${last > first ? 'faster' : 'slower'} towards ${Math.round(last)} at the end`;
  const ends = endsIn === null ? '' : `, as far as bar ${endsIn + 1}, where the recording ends`;
  return `${resultWord[verdict.result]}; begins at ${clockText(start)}, ${tempo}${ends}`;
}

const resultWord = { clean: 'clean', 'not clean': 'not clean', 'not heard': 'not judged' } as const;

/** `1:05.3` */
function clockText(ms: number): string {
  const tenths = Math.max(0, Math.round(ms / 100));
  const seconds = (tenths % 600) / 10;
  return `${Math.floor(tenths / 600)}:${seconds.toFixed(1).padStart(4, '0')}`;
}
