// A player in virtual time, and an ear that errs, both with known figures: what a verdict should find is known.

/** Random numbers from 0 up to 1, the same for the same seed (mulberry32). */
function seeded(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** An ear that hears everything as it is. */
export const perfectEar = {
  place: 0,
  missed: 0,
  ghosts: 0,
  kind: 0,
  falseAlarm: 0,
  wrongMissed: 0,
  unsure: 0,
  ring: 0,
};

/** An ear as good as the goals ask: a place within 3 ms in 95 of 100, and so on. */
export const usualEar = {
  place: 1.5,
  missed: 0.01,
  ghosts: 0.01,
  kind: 0.02,
  falseAlarm: 0.01,
  wrongMissed: 0.03,
  unsure: 0.03,
  ring: 9,
};

/** What a player without faults does. */
export const steadyPlayer = {
  mean: 0,
  spread: 12,
  lowMean: null,
  lowSpread: null,
  misses: 0,
  missBy: 90,
  lateInto: [],
  oldChordAt: [],
  wrongAt: new Map(),
  ringsOn: 0,
  runFrom: null,
  runBy: 0,
  leftOut: 0,
  restBars: [],
  follows: 0,
};

/**
 * The strokes that a player makes of a pass, as an ear hears them. `expected` are the strokes of the pass; `offset` ms that all are heard late.
 * Answers the heard strokes in the order of their times, what was really played, and which expected stroke each heard one was.
 */
export function simulatedPass(expected, { player = {}, ear = usualEar, offset = 0, seed = 1 } = {}) {
  const random = seeded(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const who = { ...steadyPlayer, ...player };
  const names = [...new Set(expected.map(({ chord }) => chord.name))];
  const heard = [];
  const made = [];
  const origins = new Map();
  let before = null;
  for (const stroke of expected) {
    const { kind, chord, entry, from, bar } = stroke;
    const spread = kind === 'low' ? (who.lowSpread ?? who.spread) : who.spread;
    // Errors follow the ones before them as far as `follows` says (autoregressive of first order).
    const fresh = normal() * Math.sqrt(1 - who.follows ** 2);
    before = before === null ? normal() : who.follows * before + fresh;
    let error = (kind === 'low' ? (who.lowMean ?? who.mean) : who.mean) + spread * before;
    if (who.runFrom !== null) error += who.runBy * Math.max(0, stroke.at - who.runFrom);
    const late = from ? who.lateInto.find((one) => one.entry === entry) : undefined;
    if (late) error += late.ms;
    if (random() < who.misses) error += who.missBy * (random() < 0.5 ? -1 : 1);
    const isOld = from !== null && who.oldChordAt.includes(entry);
    const played = who.wrongAt.get(entry) ?? (isOld ? from.name : chord.name);
    const ringMs = random() < who.ringsOn && stroke.ending === 'chop' ? 300 : 60;
    if (who.restBars.includes(bar) || random() < who.leftOut) continue;
    made.push({ stroke, error, played, ringMs });
    if (random() < ear.missed) continue;
    const one = {
      at: stroke.at + error + offset + ear.place * normal(),
      kind: random() < ear.kind ? otherOf(['low', 'chop', 'up'], kind, random) : kind,
      kindSure: 0.9 + 0.1 * random(),
      strength: 0.3 + 0.4 * random(),
      ringMs: Math.max(5, ringMs + ear.ring * normal()),
      ringsOn: null,
      chord: heardChord(chord.name, played, names, ear, random),
    };
    heard.push(one);
    origins.set(one, stroke);
    if (random() < ear.ghosts)
      heard.push({
        at: stroke.at + offset + 300 * random(),
        kind: 'up',
        kindSure: 0.6,
        strength: 0.1,
        ringMs: null,
        ringsOn: null,
        chord: null,
      });
  }
  return { heard: heard.sort((one, other) => one.at - other.at), made, origins };
}

function heardChord(asked, played, names, ear, random) {
  if (random() < ear.unsure) return { asked, best: null, isAsked: null, confidence: 0.5 + 0.3 * random() };
  const isRight = played === asked;
  if (random() < (isRight ? ear.falseAlarm : ear.wrongMissed)) {
    return isRight
      ? { asked, best: otherOf(names, asked, random), isAsked: false, confidence: 0.8 + 0.15 * random() }
      : { asked, best: asked, isAsked: true, confidence: 0.8 + 0.15 * random() };
  }
  return { asked, best: played, isAsked: isRight, confidence: 0.96 + 0.04 * random() };
}

function otherOf(list, one, random) {
  const others = list.filter((other) => other !== one);
  return others[Math.floor(random() * others.length)] ?? null;
}
