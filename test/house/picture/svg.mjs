// The cells of a screen as a picture that scales: each character in the middle of its cell, whatever font is there; lines and blocks are drawn, so that
// they meet.

/** The width and the height of a cell. */
const [wide, tall] = [9, 19];
const margin = 12;

/** The sixteen colours as xterm has them, from black to bright white. */
const palette = [
  ...['#000000', '#cd0000', '#00cd00', '#cdcd00', '#0000ee', '#cd00cd', '#00cdcd', '#e5e5e5'],
  ...['#7f7f7f', '#ff0000', '#00ff00', '#ffff00', '#5c5cff', '#ff00ff', '#00ffff', '#ffffff'],
];
/** What a terminal with a dark background has where no colour is asked for. */
const usual = { ink: '#e5e5e5', ground: '#000000' };

/** Lines and blocks as rectangles: left, top, width and height within a cell that is 9 wide and 19 tall. */
const drawn = {
  '─': [[0, 9, 9, 1]],
  '━': [[0, 8, 9, 3]],
  '═': [
    [0, 7, 9, 1],
    [0, 11, 9, 1],
  ],
  '╌': [
    [1, 9, 3, 1],
    [6, 9, 2, 1],
  ],
  '╴': [[0, 9, 5, 1]],
  '│': [[4, 0, 1, 19]],
  '║': [
    [3, 0, 1, 19],
    [6, 0, 1, 19],
  ],
  '┼': [
    [0, 9, 9, 1],
    [4, 0, 1, 19],
  ],
  '█': [[0, 0, 9, 19]],
  '▀': [[0, 0, 9, 10]],
  '▄': [[0, 10, 9, 9]],
  '▮': [[2, 3, 5, 13]],
};

/**
 * The picture of a screen.
 *
 * @param lines rows of cells, as `Cells` has them
 * @param title what it shows, for somebody who does not see it
 */
export function svgOf(lines, title) {
  const width = wide * (lines[0]?.length ?? 0) + 2 * margin;
  const height = tall * lines.length + 2 * margin;
  const grounds = [];
  const shapes = new Map();
  const texts = [];
  for (const [row, line] of lines.entries()) {
    for (const [column, { text, style }] of line.entries()) {
      const { ink, ground } = coloursOf(style);
      const [x, y] = [margin + column * wide, margin + row * tall];
      if (ground !== usual.ground)
        grounds.push(`<path fill="${ground}" d="${rectangle(x, y, wide, tall)}"/>`);
      const parts = drawn[text];
      if (parts) {
        const path = parts
          .map(([left, top, across, down]) => rectangle(x + left, y + top, across, down))
          .join('');
        shapes.set(ink, (shapes.get(ink) ?? '') + path);
      } else if (text.trim() !== '')
        addText(texts, { x: x + wide / 2, y: y + 14, text, ink, bold: style.bold });
    }
  }
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img">`,
    `<title>${escaped(title)}</title>`,
    `<rect width="${width}" height="${height}" rx="8" fill="${usual.ground}"/>`,
    ...grounds,
    ...[...shapes].map(([ink, path]) => `<path fill="${ink}" d="${path}"/>`),
    `<g font-family="ui-monospace,'DejaVu Sans Mono',Menlo,Consolas,monospace" font-size="15" text-anchor="middle">`,
    ...texts.map(
      ({ xs, y, text, ink, bold, isOne }) =>
        `<text y="${y}" fill="${ink}"${bold ? ' font-weight="bold"' : ''}>${placed(isOne ? [...text] : [text], xs)}</text>`,
    ),
    '</g>',
    '</svg>',
    '',
  ].join('\n');
}

/** Each character at its place. A list of places for a whole text would be shorter, but programs that draw no web pages read only its first one. */
function placed(characters, xs) {
  return characters.map((one, at) => `<tspan x="${xs[at]}">${escaped(one)}</tspan>`).join('');
}

/** Puts a character after the last ones, where it is on their line and looks like them. */
function addText(texts, { x, y, text, ink, bold }) {
  const last = texts.at(-1);
  // A character of several code points would be spread over several places.
  const isOne = [...text].length === 1;
  if (isOne && last?.isOne && last.y === y && last.ink === ink && last.bold === bold) {
    last.xs.push(x);
    last.text += text;
  } else texts.push({ xs: [x], y, text, ink, bold, isOne });
}

function coloursOf({ ink, ground, dim, inverse }) {
  const behind = colour(ground, usual.ground);
  const front = dim ? mixed(colour(ink, usual.ink), behind) : colour(ink, usual.ink);
  return inverse ? { ink: behind, ground: front } : { ink: front, ground: behind };
}

/** One of the palette, of the 256, or red, green and blue. */
function colour(value, otherwise) {
  if (value === null) return otherwise;
  if (Array.isArray(value)) return hex(value);
  if (value < 16) return palette[value];
  if (value >= 232) return hex([0, 0, 0].map(() => 8 + 10 * (value - 232)));
  const step = (part) => (part === 0 ? 0 : 55 + 40 * part);
  return hex([Math.floor((value - 16) / 36), Math.floor((value - 16) / 6) % 6, (value - 16) % 6].map(step));
}

/** Two thirds of a colour and one of what is behind it: about as terminals show what is dim. */
function mixed(one, other) {
  const parts = (text) => [1, 3, 5].map((at) => Number.parseInt(text.slice(at, at + 2), 16));
  const behind = parts(other);
  return hex(parts(one).map((part, at) => Math.round((2 * part + behind[at]) / 3)));
}

function hex(parts) {
  return `#${parts.map((part) => part.toString(16).padStart(2, '0')).join('')}`;
}

function rectangle(x, y, across, down) {
  return `M${x} ${y}h${across}v${down}h-${across}z`;
}

function escaped(text) {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
