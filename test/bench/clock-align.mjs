// Which arrival belongs to which time, when some of what was due never came.

/** What an arrival or a time without a partner costs, ms: beyond twice that they are no partners. */
const aloneMs = 500;
/** What a millisecond too early counts, against one too late. */
const earlyPrice = 50;
/** So late or early, ms, two are no partners in any case: it would cost more than to leave both alone. */
const mostLate = 2 * aloneMs;
const mostEarly = (2 * aloneMs) / earlyPrice;

/** What was chosen for a cell of the table. */
const paired = 0;
const leftArrival = 1;
const leftTime = 2;

/**
 * Pairs two sorted lists of times, arrivals and what was wanted, in order and at the least cost. Answers pairs of
 * indices. The table has a row for each number of arrivals that were dealt with, and in it only the numbers of wanted times
 * that can have been: however much never came, rows stay short.
 */
export function alignInOrder(arrivals, wanted) {
  const rows = rowsOf(arrivals, wanted);
  let before = null;
  for (const [row, { from, choices }] of rows.entries()) {
    const costs = new Float64Array(choices.length).fill(Number.POSITIVE_INFINITY);
    const costBefore = (column) =>
      before ? (before.costs[column - before.from] ?? Number.POSITIVE_INFINITY) : Number.POSITIVE_INFINITY;
    for (let place = 0; place < choices.length; place += 1) {
      const column = from + place;
      const consider = (choice, cost) => {
        if (cost >= costs[place]) return;
        costs[place] = cost;
        choices[place] = choice;
      };
      if (row === 0 && column === 0) costs[place] = 0;
      if (column > 0)
        consider(paired, costBefore(column - 1) + misfit(arrivals[row - 1] - wanted[column - 1]));
      consider(leftArrival, costBefore(column) + aloneMs);
      if (place > 0) consider(leftTime, costs[place - 1] + aloneMs);
    }
    before = { from, costs };
  }
  return traceBack(rows, wanted.length);
}

/** For each row the least number of wanted times that are dealt with by then, and room for a choice for each number from there. */
function rowsOf(arrivals, wanted) {
  const rows = [];
  let from = 0;
  let to = 0;
  for (let row = 0; row <= arrivals.length; row += 1) {
    // What is too old for the last arrival has been dealt with; what is too far ahead of the next one has not.
    if (row > 0) while (from < wanted.length && wanted[from] < arrivals[row - 1] - mostLate) from += 1;
    const ahead = row < arrivals.length ? arrivals[row] + mostEarly : Number.POSITIVE_INFINITY;
    while (to < wanted.length && wanted[to] <= ahead) to += 1;
    rows.push({ from, choices: new Uint8Array(to - from + 1) });
  }
  return rows;
}

/** How badly an arrival fits a time it is late for by `ms`. Late it may well be, early it cannot: then it is another's. */
function misfit(ms) {
  return ms >= 0 ? ms : -earlyPrice * ms;
}

function traceBack(rows, columns) {
  const pairs = [];
  let row = rows.length - 1;
  let column = columns;
  while (row > 0 || column > 0) {
    const { from, choices } = rows[row];
    const choice = choices[column - from];
    if (choice === paired) pairs.push([row - 1, column - 1]);
    if (choice !== leftTime) row -= 1;
    if (choice !== leftArrival) column -= 1;
  }
  return pairs.reverse();
}
