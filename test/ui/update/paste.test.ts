import { describe, expect, it } from 'vitest';
import { plainText } from '../../../src/ui/draw/line.js';
import { noticeLine } from '../../../src/ui/draw/notice.js';
import type { Message } from '../../../src/ui/state/messages.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import { having, lineOf, standing } from '../model.js';

const pasted = (text: string, more = false): Message => ({ kind: 'pasted', text, more });
const restSaid = 'only the first line of the pasted text is kept, as far as it fits';

const list: Model = having(firstModel({ colour: false, unicode: true }, 80, 24), {
  kind: 'library',
  library: { title: 'Charts', items: [], index: 0, from: null, query: 'the ' },
}).model;

const asked: Model = having(standing('weir-hands'), { kind: 'action', action: 'go-to', at: 0 }).model;

describe('pasted text', () => {
  it.each([
    ['a line', 'weir hands', false, 'the weir hands', ''],
    ['a line with its line break', 'weir\r\n', false, 'the weir', ''],
    ['several lines', 'weir\nhands', false, 'the weir', restSaid],
    ['text that was cut before', 'weir', true, 'the weir', restSaid],
    ['tabs and controls', 'a\tb\u0007\u202ec', false, 'the a bc', ''],
    ['more than a line holds', 'x'.repeat(300), false, `the ${'x'.repeat(196)}`, restSaid],
    ['nothing but line breaks', '\n\n', false, 'the ', ''],
  ])('in the list, %s', (_, text, more, query, notice) => {
    const { model, effects } = having(list, pasted(text, more));
    expect([model.library?.query, model.notice, effects]).toEqual([query, notice, []]);
  });

  it('in a typed line goes where the caret is, and what is left out is said beside it', () => {
    const { model } = having(
      asked,
      { kind: 'typed', text: '12' },
      { kind: 'action', action: 'line-left', at: 0 },
      pasted('0\n3'),
    );
    const typed = lineOf(model);
    if (!typed) throw new Error('no line is typed');
    expect(typed.text).toBe('102');
    const line = plainText(noticeLine({ ...model, overlay: { ...typed, fault: '' } }, null, 100));
    expect(line).toContain(restSaid);
    expect(having(model, { kind: 'typed', text: '4' }).model.notice).toBe('');
  });

  it('elsewhere is no key of any kind, and that is said', () => {
    const stand = standing('weir-hands');
    const { model, effects } = having(stand, pasted(' q+-'));
    expect(model).toEqual({ ...stand, notice: 'the pasted text is ignored: nothing can be typed here' });
    expect(effects).toEqual([]);
  });
});

it('more keys at once than can be meant are told of', () => {
  expect(having(standing('weir-hands'), { kind: 'flooded' }).model.notice).toBe(
    'too many keys at once; they were ignored',
  );
});
