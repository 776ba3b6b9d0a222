import { jsonText } from '../base/json.js';
import { mandolin } from '../hand/instrument.js';
import { usualPrices } from '../hand/prices.js';
import { fitSpeed, leastPasses, observations } from '../shed/fit.js';
import { exit, print, printDocument } from './exit.js';
import { diaryOf, whoFlag } from './shed-common.js';

/** The hand's prices fitted to a player's diary, and how well they predict passes that the fit has not seen. */
export function shedSpeed(flags: { readonly who?: string; readonly json?: boolean }): number {
  const list = observations(diaryOf(whoFlag(flags.who)).entries, mandolin);
  const fit = fitSpeed(list);
  if (flags.json) {
    printDocument(jsonText(fit ?? { passes: list.length, needed: leastPasses }));
    return exit.done;
  }
  if (!fit) {
    print(
      `${list.length} marked passes of chord pairs so far; ${leastPasses} are needed to estimate how fast your hand is`,
    );
    return exit.done;
  }
  const percent = (share: number): string => `${Math.round(share * 100)} %`;
  print(
    `Your chord changes take ${percent(fit.share)} of the time that the usual model expects (${fit.passes} marked passes).`,
  );
  if (fit.heldOut) {
    const { count, fit: own, usual, rate } = fit.heldOut;
    print(`On ${count} passes not used for the fit (loss: mean of -ln p, lower is better):`);
    print(`  fitted        loss ${own.loss.toFixed(3)}, right ${percent(own.right)}`);
    print(`  usual prices  loss ${usual.loss.toFixed(3)}, right ${percent(usual.right)}`);
    print(`  always the same guess  loss ${rate.loss.toFixed(3)}, right ${percent(rate.right)}`);
    if (own.loss >= usual.loss || own.loss >= rate.loss)
      print('It does not predict better than the others yet: leave the prices as they are.');
  }
  const { intercept, slope, lift, land } = fit.prices;
  print('For settings.yaml:');
  print(
    'prices:',
    `  intercept: ${intercept.toFixed(1)}`,
    `  slope: ${slope.toFixed(1)}`,
    `  lift: ${lift.toFixed(1)}`,
    `  land: ${land.toFixed(1)}`,
  );
  print(
    `(usual: intercept ${usualPrices.intercept}, slope ${usualPrices.slope}, lift ${usualPrices.lift}, land ${usualPrices.land})`,
  );
  return exit.done;
}
