// Clicks as they arrive, and which beat is shown as the current one in what is drawn: what the bench of the stand compares.

/** What arrives within this of a piece before it belongs to the same picture: terminals take a few thousand bytes at a time, ns. */
const together = 3_000_000n;
const accent = 76;

/** The note-ons of the click, running status filled in, each with its beat in the bar as the accents tell it. */
export function clicksIn(arrivals) {
  const clicks = [];
  let status = 0;
  let data = [];
  let beat = null;
  for (const { at, data: bytes } of arrivals) {
    for (const byte of bytes) {
      if (byte >= 0xf8) continue;
      if (byte >= 0x80) {
        status = byte;
        data = [];
        continue;
      }
      data.push(byte);
      const kind = status & 0xf0;
      if (data.length < (kind === 0xc0 || kind === 0xd0 ? 1 : 2)) continue;
      const [note, velocity] = data;
      data = [];
      if (status !== 0x99 || velocity === 0) continue;
      beat = note === accent ? 0 : beat === null ? null : beat + 1;
      clicks.push({ at, beat });
    }
  }
  return clicks;
}

/** Pieces put together to pictures, each with the time at which it begins. */
function picturesOf(outputs) {
  const pictures = [];
  let last = null;
  for (const { at, data } of outputs) {
    if (last !== null && at - last < together) pictures.at(-1).pieces.push(data);
    else pictures.push({ at, pieces: [data] });
    last = at;
  }
  return pictures.map(({ at, pieces }) => ({ at, text: Buffer.concat(pieces).toString('utf8') }));
}

/**
 * The current beat's place in its line and its beat in the bar, four a bar: the bright one in the row of dashes below the bars.
 * The strip of sections in the second row has dashes too, but ends its sections with half ones.
 */
function currentBeat(rows) {
  for (const [row, line] of rows) {
    const bright = /\u001b\[1(?:;\d+)*m[━=]+\u001b\[0m/.exec(line);
    if (!bright || line.includes('╴')) continue;
    const before = line.slice(0, bright.index).replace(/\u001b\[[\d;]*m/g, '');
    if (/[^━─=\- ]/.test(before)) continue;
    return { place: `${row} ${bright.index}`, beat: (before.match(/[━─=-]+/g) ?? []).length % 4 };
  }
  return null;
}

/**
 * For each click, when its beat was first shown as the current one, against the click, ms, and at which time, ns (`null` where it was
 * not). From half a beat before it to the next click.
 */
export function beatsDrawn(clicks, outputs, beatMs = 250) {
  const beatNs = nsOf(beatMs);
  const rows = new Map();
  const shown = picturesOf(outputs).map(({ at, text }) => {
    for (const part of text.split(/\u001b\[(?=\d+;1H)/).slice(1)) {
      const place = /^(\d+);1H/.exec(part);
      rows.set(Number(place[1]), part.slice(place[0].length));
    }
    return { at, beat: currentBeat(rows)?.beat ?? null };
  });
  return pair(clicks, beatNs, (click, until) =>
    shown.find(({ at, beat }) => at > click.at - beatNs / 2n && at < until && beat === click.beat),
  );
}

/**
 * How late clicks are, ms, by a grid of equal beats that none of them comes before; and by the same how late whatever belongs to them
 * (`others`: a time each, ns, or `null`).
 */
export function fromGrid(clicks, others, beatMs) {
  const first = clicks[0]?.at ?? 0n;
  const beats = clicks.map(({ at }) => Math.round(Number(at - first) / 1e6 / beatMs));
  const late = (at, index) => Number(at - first) / 1e6 - (beats[index] ?? 0) * beatMs;
  const grid = Math.min(...clicks.map(({ at }, index) => late(at, index)));
  return {
    click: clicks.map(({ at }, index) => late(at, index) - grid),
    other: others.flatMap((at, index) => (at === null ? [] : [late(at, index) - grid])),
  };
}

const nsOf = (ms) => BigInt(Math.round(ms * 1e6));

function pair(clicks, beatNs, find) {
  const lags = [];
  const at = [];
  let missing = 0;
  clicks.forEach((click, index) => {
    const found = find(click, clicks[index + 1]?.at ?? click.at + beatNs);
    if (found) lags.push(Number(found.at - click.at) / 1e6);
    else missing += 1;
    at.push(found?.at ?? null);
  });
  return { lags, missing, at };
}
