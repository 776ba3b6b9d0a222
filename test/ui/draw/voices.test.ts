import { describe, expect, it } from 'vitest';
import { voiceLines } from '../../../src/ui/draw/voices.js';
import { standing } from '../model.js';

describe('the list of voices', () => {
  const setup = standing('weir-hands').session.performance?.setup;

  it.each(
    (['sound', 'others', 'all'] as const).flatMap((melody) =>
      [true, false].map((unicode) => [melody, unicode] as const),
    ),
  )('is whole on eighty columns, with the tune heard by %s, unicode %s', (melody, unicode) => {
    if (!setup) throw new Error('nothing stands there');
    const lines = voiceLines({ ...setup, melody }, 4, unicode);
    const texts = lines.map((line) => line.map(({ text }) => text).join(''));
    expect(texts.filter((text) => text.length > 80)).toEqual([]);
    expect(texts.join('\n')).toContain('Esc back');
  });
});
