import { describe, expect, it } from 'vitest';
import type { Action } from '../../../src/ui/keys/actions.js';
import type { Effect, Message } from '../../../src/ui/state/messages.js';
import type { Model, Updated } from '../../../src/ui/state/model.js';
import { having, lineOf, onStand, standing } from '../model.js';

const press = (action: Action): Message => ({ kind: 'action', action, at: 0 });

const type = (text: string): Message[] => [...text].map((one) => ({ kind: 'typed', text: one }));

/** A bar is written with a sign more after it. */
function edited(model: Model, sign: string): Updated {
  return having(model, press('edit-bar'), ...type(sign), press('line-done'));
}

type Write = Extract<Effect, { kind: 'write' }>;
const writes = ({ effects }: Updated): Write[] =>
  effects.flatMap((effect) => (effect.kind === 'write' ? [effect] : []));

const failed: Message = { kind: 'not-written', reason: 'the disk is full', of: 'weir-hands.yaml' };

function answer({ text }: Write): Message {
  return { kind: 'written', of: 'weir-hands.yaml', file: 'weir-hands.yaml', text, says: '', open: false };
}

describe('a chart that is being saved', () => {
  it('is saved after a writing that failed, with everything that was written, over what the file holds', () => {
    const held = onStand(standing('weir-hands'))?.source;
    const first = edited(standing('weir-hands'), '~');
    const refused = having(first.model, failed).model;
    expect(refused.notice).toBe('the disk is full');
    const second = edited(having(refused, press('bar-on')).model, '!');
    const [write] = writes(second);
    expect(write?.before).toBe(held);
    expect(write?.text).toContain('1~ 1! 5 1');
    const saved = having(second.model, answer(write as Write)).model;
    expect(onStand(saved)?.saved).toBe(write?.text);
    // The next one goes over that.
    expect(writes(edited(having(saved, press('bar-on')).model, '!'))[0]?.before).toBe(write?.text);
  });

  it('is saved by the same bar again, unchanged', () => {
    const refused = having(edited(standing('weir-hands'), '~').model, failed).model;
    const again = having(refused, press('edit-bar'), press('line-done'));
    expect(writes(again)).toHaveLength(1);
  });

  it('waits with the next text until the first is written, and then writes it over that', () => {
    const first = edited(standing('weir-hands'), '~');
    const second = edited(having(first.model, press('bar-on')).model, '!');
    expect(writes(second)).toEqual([]);
    const [write] = writes(having(second.model, answer(writes(first)[0] as Write)));
    expect(write?.before).toBe(writes(first)[0]?.text);
    expect(write?.text).toContain('1~ 1! 5 1');
  });

  it('goes into a file of another name where its own cannot take it', () => {
    const first = edited(standing('weir-hands'), '~');
    const elsewhere = { why: 'it is read-only', name: 'weir-hands.yaml' };
    const asked = having(first.model, { ...failed, elsewhere }).model;
    expect(lineOf(asked)).toMatchObject({
      purpose: { kind: 'save-as' },
      label: 'it is read-only; in your own charts as',
      text: 'weir-hands.yaml',
    });
    const named = having(asked, press('line-done'));
    const copy = named.effects.find(({ kind }) => kind === 'write-copy');
    expect(copy).toMatchObject({ of: 'weir-hands.yaml', name: 'weir-hands.yaml' });
    const text = copy?.kind === 'write-copy' ? copy.text : '';
    const saved = having(named.model, {
      ...answer({ kind: 'write', file: '', text, before: '' }),
      file: '/own/weir-hands-2.yaml',
    } as Message).model;
    expect(onStand(saved)).toMatchObject({ file: '/own/weir-hands-2.yaml', saved: text, saving: false });
  });

  it('is not left without a word while no file has what was written', () => {
    const refused = having(edited(standing('weir-hands'), '~').model, failed).model;
    const library = { title: '', items: [], index: 0, from: null, query: '' };
    const once = having({ ...refused, library }, press('back')).model;
    expect(once.mode.kind).toBe('chart');
    expect(once.notice).toContain('is not saved');
    expect(having(once, press('back')).model.mode.kind).toBe('library');
  });
});
