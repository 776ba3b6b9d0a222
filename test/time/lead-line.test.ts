import { describe, expect, it } from 'vitest';
import { midiNote } from '../../src/theory/pitch.js';
import type { LeadBar, LeadNote } from '../../src/time/lead.js';
import { type LeadPlace, type LeadTaste, type Led, notesOfBar, sentLead } from '../../src/time/lead-line.js';

const barTicks = 3840;
const taste: LeadTaste = { melody: 'others', mine: ['me', 'mandolin'] };

const note = (at: number, length: number, pitch: number, goesOn = false): LeadNote => ({
  at,
  length,
  note: midiNote(pitch),
  voice: 'lead',
  channel: 3,
  velocity: 88,
  ...(goesOn ? { goesOn } : {}),
});

/** A bar of a pass: two halves, and in front of it what is asked for. */
function place(index: number, more: Partial<LeadBar> = {}): LeadPlace {
  const start = index * barTicks;
  const bar: LeadBar = {
    notes: [note(start, 1920, 60), note(start + 1920, 1920, 62)],
    pickup: [],
    pickupTicks: 0,
    joins: false,
    section: 0,
    who: null,
    ...more,
  };
  return { bar, start, end: start + barTicks };
}

/** The same with a beat in front of it. */
function led(index: number, more: Partial<LeadBar> = {}): LeadPlace {
  return place(index, { pickup: [note(index * barTicks - 960, 960, 55)], pickupTicks: 960, ...more });
}

const told = (here: LeadPlace, before: Led | null, behind: Led | null, by = taste): string =>
  notesOfBar(here, before, behind, by)
    .map(({ at, length, note: pitch }) => `${at - here.start}+${length}:${pitch}`)
    .join(' ');

const own = '0+1920:60 1920+1920:62';
const following = (one: LeadPlace): Led => ({ place: one, follows: true });
const elsewhere = (one: LeadPlace): Led => ({ place: one, follows: false });

describe('the notes that belong to a bar', () => {
  it('are its own, and in front of everything its pick-up', () => {
    expect(told(place(0), null, null)).toBe(own);
    expect(told(led(0), null, null)).toBe(`-960+960:55 ${own}`);
  });

  it('have the pick-up only where the bar before it in the pass leaves room for it', () => {
    expect(told(led(1, { joins: true }), following(place(0)), null)).toBe(`-960+960:55 ${own}`);
    expect(told(led(1), following(place(0)), null)).toBe(own);
  });

  it('give way to the pick-up of the next bar', () => {
    expect(told(place(0), null, following(led(1, { joins: true })))).toBe('0+1920:60 1920+960:62');
    expect(told(place(0), null, following(led(1)))).toBe(own);
  });

  it('lose a note that would begin within it, and a tie out of the bar', () => {
    const here = place(0, { notes: [note(0, 1920, 60), note(1920, 960, 62), note(2880, 960, 64, true)] });
    expect(told(here, null, following(led(1, { joins: true })))).toBe('0+1920:60 1920+960:62');
    const long = place(0, { notes: [note(0, 3840, 60, true)] });
    expect(notesOfBar(long, null, following(led(1, { joins: true })), taste)).toStrictEqual([
      note(0, 2880, 60),
    ]);
  });

  it('where the music comes from elsewhere: a pick-up in another section, and in its own where nothing begins there', () => {
    expect(told(led(4, { section: 1 }), elsewhere(place(2)), null)).toBe(`-960+960:55 ${own}`);
    const busy = place(2, { notes: [note(2 * barTicks, 2880, 60), note(2 * barTicks + 2880, 960, 62)] });
    expect(told(led(0), elsewhere(busy), null)).toBe(own);
    expect(told(led(0), elsewhere(place(2)), null)).toBe(`-960+960:55 ${own}`);
  });

  it('are none where the player leads, unless all is asked for', () => {
    const mine = led(1, { who: 'me', joins: true });
    expect(told(mine, following(place(0)), null)).toBe('');
    expect(told(mine, following(place(0)), null, { ...taste, melody: 'all' })).toBe(`-960+960:55 ${own}`);
    expect(told(led(1, { who: 'fiddle', joins: true }), following(place(0)), null)).toContain(own);
  });

  it('after the player’s own break have the pick-up, for which nothing gives way', () => {
    const mine = place(0, { who: 'mandolin' });
    expect(told(led(1), following(mine), null)).toBe(`-960+960:55 ${own}`);
    // What leads into the own break is silent with it, and takes nothing away.
    expect(told(place(0), null, following(led(1, { who: 'me', joins: true })))).toBe(own);
  });
});

describe('the tune as it is sent', () => {
  it('has tied notes as one, a tick more where one goes on, and says what is taken up', () => {
    expect(sentLead([note(0, 1920, 60, true), note(1920, 1920, 60), note(3840, 3840, 62, true)], 0)).toEqual([
      { ...note(0, 3840, 60), tied: true },
      note(3840, 3841, 62),
    ]);
  });
});
