import { describe, expect, it } from 'vitest';
import { parseMeter } from '../../../src/chart/change.js';
import { lookFor } from '../../../src/commands/completion/look-for.js';

const offered = async (offer: Parameters<typeof lookFor>[0]): Promise<readonly string[]> =>
  (await lookFor(offer, [])).fitting.map(({ text }) => text);

describe('values that are offered', () => {
  it('of a meter are the usual ones, each of which can be read', async () => {
    const meters = await offered('meter');
    expect(meters).toEqual(expect.arrayContaining(['4/4', '3/4', '2/2', '6/8', 'cut']));
    for (const meter of meters) expect(parseMeter(meter), meter).toMatchObject({ ok: true });
  });

  it('of a count-in are all that it can be', async () => {
    expect(await offered('count-in')).toEqual(['0', '1', '2']);
  });
});
