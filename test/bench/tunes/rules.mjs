// Named rules: where our notes are not abc2midi's, and why. Each is tried: the difference is explained only if what the rule
// says, done to the tune or to the notes, makes both equal.

/** Of notes that begin together the highest: abc2midi begins those of a chord a tick after each other. */
function highest(notes) {
  const kept = [];
  for (const note of notes) {
    const last = kept.at(-1);
    if (last && note.at - last.at < 0.06) {
      if (note.pitch > last.pitch) kept[kept.length - 1] = { ...last, pitch: note.pitch };
    } else kept.push(note);
  }
  return kept;
}

/** A change of the music's lines only; fields and directives stay. */
const inMusic = (change) => (text) =>
  text
    .split(/\r\n|\r|\n/)
    .map((line) => (/^(?:[A-Za-z+]:|%)/.test(line) ? line : change(line)))
    .join('\n');

/** Quoted texts stay as they are. */
const outsideQuotes = (change) => (line) =>
  line
    .split(/("[^"]*")/)
    .map((piece, index) => (index % 2 === 1 ? piece : change(piece)))
    .join('');

/**
 * The rules, the likeliest first. `ours` and `theirs` change the text that each reads, `notes` the notes that abc2midi has.
 * What a rule of ours does is what our import says it does; what one of theirs does takes away what abc2midi plays otherwise.
 */
export const rules = [
  {
    name: 'ornaments',
    says: 'a roll or a trill (~, T) is one note, and no notes beside it',
    both: inMusic(
      outsideQuotes((line) => line.replace(/[~T](?=[\^_=a-gA-G[({.uv])|!(?:roll|trill|turn)!/g, '')),
    ),
  },
  { name: 'chords', says: 'of notes that sound together the highest is kept', notes: highest },
  {
    name: 'first voice',
    says: 'one voice is kept: the first that has chords, else the first',
    anyTrack: true,
  },
  {
    name: 'way by signs',
    says: 'D.C., D.S., coda and fine are followed; abc2midi passes over them',
    ours: inMusic((line) =>
      line.replace(
        /!(?:D\.?[CS]\.?[^!]*|dacapo|dacoda|segno|coda|fine)!|"[^"]*(?:D\.\s*[CS]\.|[Ff]ine|[Cc]oda)[^"]*"/g,
        '',
      ),
    ),
  },
  {
    name: 'first ending goes back',
    says: 'an ending 1 that an ending 2 follows goes back though no :| stands between them; abc2midi plays one of both',
    theirs: inMusic((line) => line.replace(/(\|\s*1\b[^|:]*)\|(?=\s*2\b)/g, '$1:|')),
  },
  {
    name: 'endings without a beginning',
    says: 'a strain with endings is repeated though no |: stands in front of it (ABC 2.1, 4.8); abc2midi plays its last ending only',
    theirs: (text) => withBeginnings(text),
  },
  {
    name: 'double bar',
    says: 'a repeat without |: goes back to the last double bar (ABC 2.1, 4.8); abc2midi, in the first repeat, to the beginning',
    theirs: (text) => withBeginnings(text),
  },
  {
    name: 'end of the last ending',
    says: 'a :| behind the last ending goes back no more; abc2midi plays the repeat’s bars once again',
    theirs: inMusic((line) =>
      line.replace(/((?:\[|\|)\s*[2-9][^|:]*(?:\|[^|:\]]+)*):\|+:?/g, (_, ending) => `${ending}||`),
    ),
  },
  {
    name: 'signature’s accidentals',
    says: 'accidentals right behind the key (K:C^f^c) are the signature’s, as with spaces (ABC 2.1, 4.6); abc2midi loses the first',
    theirs: (text) => text.replace(/^K:.*$/gm, (field) => field.replace(/(?<=\S)(?=[\^_=][A-Ga-g])/g, ' ')),
  },
  {
    name: 'three times',
    says: '|:: and ::| are played three times (ABC 2.1, 4.8), by abc2midi twice',
    ours: inMusic((line) => line.replace(/:{2,}\|/g, ':|').replace(/\|:{2,}/g, '|:')),
  },
  {
    name: 'times of endings',
    says: 'an ending for times that the one before it has is for the next; abc2midi plays it at none',
    theirs: inMusic((line) => line.replace(/(\|\s*1,2\b.*:\|\s*)2/, '$13')),
  },
  {
    name: 'repeat’s end by a bracket',
    says: ':] ends a repeat',
    theirs: inMusic((line) => line.replaceAll(':]', ':|')),
  },
  {
    name: 'tie into endings',
    says: 'a tie leads into each ending; abc2midi strikes the note again in those behind the first',
    fits: fitsWithStruckTies,
  },
  {
    name: 'full bar',
    says: 'a bar that its repeat’s pick-up makes full stays full where something else follows, and so does one of parts of an eighth',
    fits: fitsWithRests,
  },
  {
    name: 'pick-up',
    says: 'a pick-up behind a bar that is full already is played within that bar, or not again; abc2midi puts in a short bar',
    fits: fitsWithPickups,
  },
  {
    name: 'directives',
    says: 'directives of a program (%%) are not followed',
    theirs: (text) => text.replace(/^%%.*$/gm, '%'),
  },
];

/** Puts `|:` where a strain begins that is repeated without one: after a double bar, a repeat's end or the head. */
function withBeginnings(text) {
  const [head, body] = parted(text);
  const pieces = body.split(/((?::\|+[:\]]?|\|\||\|\]|\[\||::)(?!\s*\[?[0-9]))/);
  let made = '';
  for (let at = 0; at < pieces.length; at += 2) {
    const strain = pieces[at] ?? '';
    const end = pieces[at + 1] ?? '';
    const closes = /:\|/.test(strain) || end.startsWith(':');
    const music = strain.search(/^(?![A-Za-z+]:|%|\s*$).+/m);
    const opened = /\|:/.test(strain) || /[:]$/.test(pieces[at - 1] ?? '');
    made +=
      closes && !opened && music >= 0
        ? `${strain.slice(0, music)}|:${strain.slice(music)}${end}`
        : strain + end;
  }
  return head + made;
}

function parted(text) {
  const key = /^K:.*$/m.exec(text);
  const at = key ? key.index + key[0].length : 0;
  return [text.slice(0, at), text.slice(at)];
}

/** Whether ours are theirs without a few notes now and then, each time a pick-up's, the rest shifted by its time. */
function fitsWithPickups(ours, theirs, near) {
  return aligned(ours, theirs, near, (_, later) => later > near && later < 4);
}

/** Whether ours are theirs without notes that are struck again where a tie leads. */
function fitsWithStruckTies(ours, theirs, near) {
  return aligned(ours, theirs, near, (skipped, later, again) => skipped === 1 && again && later < near);
}

/** Whether ours are theirs, the rest shifted now and then by less than a bar, without a note more or less. */
function fitsWithRests(ours, theirs, near) {
  return (
    ours.length === theirs.length &&
    aligned(ours, theirs, near, (skipped, later) => skipped === 0 && later < -near && later > -4)
  );
}

/** In how many ways both may part within a tune: a pick-up or two, each always alike. */
const mostKinds = 3;
const mostSkipped = 8;

/**
 * Walks along both. Where they part, theirs may have some notes more, and from there on another time: `allows` says how many, how
 * much later theirs is than before, and whether the one more is struck again at once.
 */
function aligned(ours, theirs, near, allows) {
  const kinds = new Set();
  let other = 0;
  let shift = 0;
  for (let at = 0; at < ours.length; at += 1, other += 1) {
    if (fits(ours, theirs, at, other, shift, near)) continue;
    const skipped = Array.from({ length: mostSkipped + 1 }, (_, count) => count).find((count) => {
      const begin = theirs[other + count];
      if (begin?.pitch !== ours[at].pitch) return false;
      const moved = begin.at - ours[at].at;
      const again = count === 1 && theirs[other].pitch === theirs[other - 1]?.pitch;
      return same(ours, theirs, at, other + count, moved, near) && allows(count, moved - shift, again);
    });
    if (skipped === undefined) return false;
    const moved = theirs[other + skipped].at - ours[at].at;
    kinds.add(`${skipped} ${(moved - shift).toFixed(1)}`);
    shift = moved;
    other += skipped;
  }
  const left = theirs.slice(other);
  const ends =
    left.length === 0 || allows(left.length, 0, left.length === 1 && left[0].pitch === ours.at(-1)?.pitch);
  return kinds.size <= mostKinds && ends;
}

const fits = (ours, theirs, at, other, shift, near) =>
  theirs[other] !== undefined &&
  theirs[other].pitch === ours[at].pitch &&
  Math.abs(theirs[other].at - ours[at].at - shift) < near;

/** Whether the next six notes go alike with a shift. */
function same(ours, theirs, at, other, shift, near) {
  for (let step = 0; step < 6 && at + step < ours.length; step += 1)
    if (!fits(ours, theirs, at + step, other + step, shift, near)) return false;
  return true;
}
