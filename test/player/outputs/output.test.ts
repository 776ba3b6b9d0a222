import { describe, expect, it } from 'vitest';
import { openNone } from '../../../src/player/outputs/output.js';

describe('openNone', () => {
  it('takes everything and says that it is silent', () => {
    const none = openNone();
    expect([none.label, none.lead]).toStrictEqual(['silent', 0]);
    expect(() => {
      none.send(0x90, 60, 90, 0);
      none.flush();
      none.panic();
      none.close();
    }).not.toThrow();
  });
});
