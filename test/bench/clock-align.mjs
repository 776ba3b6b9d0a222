// Which arrival belongs to which time, when some of what was due never came.

/** What an arrival or a time without a partner costs, ms: beyond twice that they are no partners. */
const aloneMs = 500;
/** What a millisecond too early counts, against one too late. */
const earlyPrice = 50;
/** When more than this never came, which ones they were cannot be told. */
const mostMissed = 200;

/** What was chosen for a cell of the table. */
const paired = 0;
const leftArrival = 1;
const leftTime = 2;

/**
 * Pairs two sorted lists of times, arrivals and what was wanted, in order and at the least cost. Answers pairs of
 * indices. The table has a row for each number of arrivals and, as places round the diagonal, numbers of wanted times.
 */
export function alignInOrder(arrivals, wanted) {
  const difference = Math.abs(arrivals.length - wanted.length);
  if (difference > mostMissed)
    throw new Error(
      `${wanted.length} messages of a kind were due, ${arrivals.length} came: not the same music`,
    );
  const slack = difference + 4;
  const width = 2 * slack + 1;
  const choices = [];
  let costs = null;
  for (let row = 0; row <= arrivals.length; row += 1) {
    choices.push(new Uint8Array(width));
    costs = nextRow(arrivals, wanted, row, slack, costs, choices[row]);
  }
  return traceBack(choices, slack, arrivals.length, wanted.length);
}

/** The costs of a row from those of the row before; notes in `choices` what was best. */
function nextRow(arrivals, wanted, row, slack, before, choices) {
  const costs = new Float64Array(choices.length).fill(Number.POSITIVE_INFINITY);
  for (let place = 0; place < costs.length; place += 1) {
    const column = row + place - slack;
    if (column < 0 || column > wanted.length) continue;
    if (row === 0 && column === 0) costs[place] = 0;
    const consider = (choice, cost) => {
      if (cost >= costs[place]) return;
      costs[place] = cost;
      choices[place] = choice;
    };
    if (before && column > 0)
      consider(paired, before[place] + misfit(arrivals[row - 1] - wanted[column - 1]));
    if (before && place + 1 < costs.length) consider(leftArrival, before[place + 1] + aloneMs);
    if (column > 0 && place > 0) consider(leftTime, costs[place - 1] + aloneMs);
  }
  return costs;
}

/** How badly an arrival fits a time it is late for by `ms`. Late it may well be, early it cannot: then it is another's. */
function misfit(ms) {
  return ms >= 0 ? ms : -earlyPrice * ms;
}

function traceBack(choices, slack, rows, columns) {
  const pairs = [];
  let row = rows;
  let column = columns;
  while (row > 0 || column > 0) {
    const choice = choices[row][column - row + slack];
    if (choice === paired) pairs.push([row - 1, column - 1]);
    if (choice !== leftTime) row -= 1;
    if (choice !== leftArrival) column -= 1;
  }
  return pairs.reverse();
}
