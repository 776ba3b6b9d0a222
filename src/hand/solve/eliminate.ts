/** Costs over some variables, in ascending order; the last varies fastest. */
export interface Factor {
  readonly variables: readonly number[];
  readonly table: Float64Array;
}

/** A variable that has been eliminated: its best candidate for every setting of those it met. */
export interface Eliminated {
  readonly variable: number;
  readonly scope: readonly number[];
  readonly by: Int32Array;
}

/** The variables a variable meets in some factors, ascending. */
function scopeOf(variable: number, factors: readonly Factor[]): number[] {
  const scope = new Set<number>();
  for (const factor of factors)
    if (factor.variables.includes(variable))
      for (const one of factor.variables) if (one !== variable) scope.add(one);
  return [...scope].sort((one, other) => one - other);
}

/** Takes a variable out: the least cost over its candidates for every setting of those it meets, as a new factor. */
export function eliminate(
  variable: number,
  factors: readonly Factor[],
  sizes: readonly number[],
): { factors: Factor[]; eliminated: Eliminated } {
  const touching = factors.filter((factor) => factor.variables.includes(variable));
  const scope = scopeOf(variable, touching);
  const entries = scope.reduce((product, one) => product * (sizes[one] as number), 1);
  const table = new Float64Array(entries);
  const by = new Int32Array(entries);
  const size = sizes[variable] as number;
  // How far each factor's entry moves when a variable takes its next candidate.
  const steps = touching.map((factor) => strides(factor.variables, [...scope, variable], sizes));
  const setting = new Int32Array(scope.length);
  const base = new Int32Array(touching.length);
  for (let entry = 0; entry < entries; entry += 1) {
    let low = Number.POSITIVE_INFINITY;
    for (let candidate = 0; candidate < size; candidate += 1) {
      let sum = 0;
      for (let index = 0; index < touching.length; index += 1) {
        const step = (steps[index] as Int32Array)[scope.length] as number;
        sum += (touching[index] as Factor).table[(base[index] as number) + candidate * step] as number;
      }
      if (sum < low) {
        low = sum;
        by[entry] = candidate;
      }
    }
    table[entry] = low;
    countUp(setting, scope, sizes, steps, base);
  }
  return {
    factors: [...factors.filter((factor) => !touching.includes(factor)), { variables: scope, table }],
    eliminated: { variable, scope, by },
  };
}

/** The next setting of the scope, the last variable fastest, with every factor's entry for it. */
function countUp(
  setting: Int32Array,
  scope: readonly number[],
  sizes: readonly number[],
  steps: readonly Int32Array[],
  base: Int32Array,
): void {
  for (let place = scope.length - 1; place >= 0; place -= 1) {
    const next = (setting[place] as number) + 1;
    const back = next === (sizes[scope[place] as number] as number);
    const by = back ? 1 - next : 1;
    steps.forEach((step, index) => {
      base[index] = (base[index] as number) + by * (step[place] as number);
    });
    setting[place] = back ? 0 : next;
    if (!back) return;
  }
}

/** For each of some variables, by how much an entry of a table over `variables` grows with its candidate. */
function strides(
  variables: readonly number[],
  wanted: readonly number[],
  sizes: readonly number[],
): Int32Array {
  const found = new Map<number, number>();
  let stride = 1;
  for (let place = variables.length - 1; place >= 0; place -= 1) {
    found.set(variables[place] as number, stride);
    stride *= sizes[variables[place] as number] as number;
  }
  return Int32Array.from(wanted, (one) => found.get(one) ?? 0);
}

/** Settles eliminated variables backwards, given the choice for all the others; adds to that choice. */
export function chooseBack(
  eliminated: readonly Eliminated[],
  choice: Map<number, number>,
  sizes: readonly number[],
): Map<number, number> {
  for (const { variable, scope, by } of [...eliminated].reverse()) {
    let entry = 0;
    for (const one of scope) entry = entry * (sizes[one] as number) + (choice.get(one) as number);
    choice.set(variable, by[entry] as number);
  }
  return choice;
}
