import { courseTuning } from './course-tuning.js';
import { Recent } from './recent.js';
import { struckNeeds, struckPitch } from './struck-pitch.js';

/** A course as it should be: Hz, and how many strings it has. */
export interface CourseToTune {
  readonly hertz: number;
  readonly strings: number;
}

/** A course that was struck and heard. */
export interface CourseHeard {
  /** The sample of its attack. */
  readonly sample: number;
  /** Which course it is, by its place; `null` when none is within `nearest` of what was heard. */
  readonly course: number | null;
  /** What sounds, as a MIDI number with its fraction. */
  readonly note: number;
  /** How sharp the course is (below 0 flat) and how far apart its strings are, cents; both `null` where it is not a course or rings too short. */
  readonly cents: number | null;
  readonly apartCents: number | null;
  /** Another string rang into it. */
  readonly others: boolean;
}

/** A pitch this close to a course is that course, cents; a string farther off is named by its note. */
export const nearest = 150;
/** A course is judged this long after its attack, seconds: soon, and once more when it has rung as long as is of use. */
const looks = [0.66, 1.7];
/** Sound that is kept, seconds. */
const kept = struckNeeds.before + 1.9;

/** What was struck and is still to be judged: by the looks from the `next` on. */
interface Struck {
  readonly attack: number;
  next: number;
}

/** Hears courses that are struck one by one, in sound that comes in pieces: which it is, how sharp, how far apart its strings are. */
export class TuningEar {
  private readonly heard: Recent;
  private struck: Struck | null = null;

  /** `rate`: samples a second; `begin`: the sample with which the sound begins that it is given. */
  constructor(
    private readonly rate: number,
    private readonly courses: readonly CourseToTune[],
    private readonly begin = 0,
  ) {
    this.heard = new Recent(Math.round(kept * rate));
  }

  /** The next samples; returns what can be judged by now. */
  push(samples: Float32Array): CourseHeard[] {
    this.heard.push(samples);
    const { struck } = this;
    const look = looks[struck?.next ?? looks.length];
    const end = this.begin + this.heard.end;
    if (!struck || look === undefined || end - struck.attack < look * this.rate) return [];
    struck.next += 1;
    return this.judged(struck.attack, end);
  }

  /** Something was struck at a sample; returns the result for the course before, which no longer rings. */
  onset(sample: number): CourseHeard[] {
    const { struck } = this;
    this.struck = { attack: sample, next: 0 };
    const isCut = struck !== null && struck.next > 0 && struck.next < looks.length;
    return isCut ? this.judged(struck.attack, sample) : [];
  }

  private judged(attack: number, end: number): CourseHeard[] {
    const { rate, heard } = this;
    const { samples, begin: first } = heard.from(attack - this.begin - (struckNeeds.before + 0.01) * rate);
    const begin = this.begin + first;
    const at = Math.round(attack) - begin;
    const pitch = struckPitch(samples, at, rate);
    if (!pitch) return [];
    const { hertz, others } = pitch;
    const note = 69 + 12 * Math.log2(hertz / 440);
    const course = nearestCourse(this.courses, hertz);
    const meant = course === null ? undefined : this.courses[course];
    const tuning =
      meant && courseTuning(samples, { attack: at, end: Math.round(end) - begin, rate, ...meant });
    const { cents = null, apartCents = null } = tuning ?? {};
    return [{ sample: attack, course, note, cents, apartCents, others }];
  }
}

/** The place of the course whose pitch is nearest, if one is near. */
function nearestCourse(courses: readonly CourseToTune[], hertz: number): number | null {
  const distances = courses.map((course) => Math.abs(1200 * Math.log2(hertz / course.hertz)));
  const least = Math.min(...distances);
  return least <= nearest ? distances.indexOf(least) : null;
}
