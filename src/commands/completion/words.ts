/*
 * What of the program's own words can be offered, in one module that is loaded only when one of them is: a shell waits for it, and many
 * modules that are each loaded by themselves would divide the program into many small files.
 */
export { meterText } from '../../chart/chart.js';
export { meters } from '../../chart/click-chart.js';
export { readSettings } from '../../config/settings.js';
export { fingerNames } from '../../hand/fingering.js';
export { instruments } from '../../hand/instrument.js';
export { hands } from '../../hand/player-hand.js';
export { drillKinds, keyDrillKinds } from '../../shed/drill.js';
export { pathSteps } from '../../shed/path-steps.js';
export { highestCapo } from '../../theory/capo.js';
export { majorTonics, minorTonics } from '../../theory/key.js';
export { voices } from '../../time/event.js';
export { load } from '../load.js';
export { patternNames } from '../pattern-flag.js';
