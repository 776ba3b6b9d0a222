/** The steps of the chop as they are called for, each with the drill it is and what is done in it. */
export const chopSteps = {
  damped: { kind: 'chop-damped', says: 'the stroke alone, all courses damped' },
  shape: { kind: 'chop-shape', says: 'squeeze without a pick, then the chop on one shape' },
  low: { kind: 'chop-low', says: 'low note and chop, and nothing else' },
  up: { kind: 'chop-up', says: 'the upstroke after the chop' },
} as const;
export type ChopStep = keyof typeof chopSteps;
