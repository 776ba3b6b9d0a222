// Holds a tune against abc2midi: equal, or by which named rules it is not.
import { ourNotes, theirNotes } from './both.mjs';
import { rules } from './rules.mjs';

/** How far a note's beginning may be from the other's, quarters: abc2midi counts 480 ticks a quarter and begins a tick late. */
const near = 0.02;
/** The most rules that a tune's difference may need. */
const mostRules = 3;

/** Whether both are the same notes at the same places, every one. */
export function equal(ours, theirs) {
  return (
    ours.length === theirs.length &&
    ours.every(
      ({ at, pitch }, index) => pitch === theirs[index].pitch && Math.abs(at - theirs[index].at) < near,
    )
  );
}

/**
 * What of a tune, the text of an ABC file that has only it: `{ kind: 'equal' }`, `'ruled'` with the names of `rules`, `'other'`
 * with `says`, what is first different; `'fault'` where one of both makes nothing of it.
 */
export function judgeTune(text) {
  const all = { ours: text, theirs: text, notes: [], fits: null, anyTrack: false };
  const first = compared(all);
  if (first.fault) return { kind: 'fault', says: first.fault };
  if (first.equal) return { kind: 'equal' };
  const able = rules.filter((rule) => changesAnything(rule, text));
  for (let size = 1; size <= mostRules; size += 1)
    for (const some of subsets(able, size))
      if (compared(some.reduce(withRule, all)).equal)
        return { kind: 'ruled', rules: some.map(({ name }) => name), says: first.says };
  return { kind: 'other', says: first.says };
}

function changesAnything({ both, ours, theirs, notes, fits, anyTrack }, text) {
  const changes = [both, ours, theirs].filter(Boolean);
  return notes || fits || anyTrack || changes.some((change) => change(text) !== text);
}

function withRule(state, { both, ours, theirs, notes, fits, anyTrack }) {
  const change = (text, ...all) => all.reduce((made, one) => (one ? one(made) : made), text);
  return {
    ours: change(state.ours, both, ours),
    theirs: change(state.theirs, both, theirs),
    notes: notes ? [...state.notes, notes] : state.notes,
    fits: fits ?? state.fits,
    anyTrack: anyTrack ?? state.anyTrack,
  };
}

/** Both read of a tune, with what the rules change, and whether they are equal. */
function compared({ ours, theirs, notes, fits, anyTrack }) {
  const own = ourNotes(Buffer.from(ours));
  const other = theirNotes(Buffer.from(theirs));
  if (own.fault || other.fault) return { fault: own.fault ?? other.fault, equal: false };
  const tracks = other.tracks.map((track) => notes.reduce((made, change) => change(made), track));
  const among = anyTrack ? tracks.map(fromFirst) : tracks.slice(0, 1);
  const isEqual = among.some((track) => equal(own.notes, track) || fits?.(own.notes, track, near));
  return { equal: isEqual, says: isEqual ? '' : difference(own.notes, among[0] ?? []) };
}

/** A track's notes counted from its own first. */
function fromFirst(track) {
  return track.map(({ at, pitch }) => ({ at: at - track[0].at, pitch }));
}

function difference(ours, theirs) {
  const index = ours.findIndex(({ at, pitch }, place) => {
    const other = theirs[place];
    return other?.pitch !== pitch || Math.abs(other.at - at) >= near;
  });
  const told = (note) => (note ? `${note.pitch} at ${note.at.toFixed(2)}` : 'none');
  const at = index < 0 ? ours.length : index;
  return `${ours.length} notes for ${theirs.length}; note ${at + 1} is ${told(ours[at])}, abc2midi has ${told(theirs[at])}`;
}

/** The sets of so many of some things, in their order. */
function subsets(all, size) {
  if (size === 0) return [[]];
  return all.flatMap((one, index) => subsets(all.slice(index + 1), size - 1).map((rest) => [one, ...rest]));
}
