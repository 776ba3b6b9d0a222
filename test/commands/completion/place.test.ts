import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { beforeAll, describe, expect, it } from 'vitest';
import { programFor } from '../../../src/commands/all.js';
import { answerText } from '../../../src/commands/completion/answer.js';
import { argumentOffer, commandPath, optionOffer } from '../../../src/commands/completion/offers.js';
import { placeIn } from '../../../src/commands/completion/place.js';

let program: CommandUnknownOpts;
beforeAll(async () => {
  program = await programFor('1', () => {});
});

const at = (line: string) => placeIn(program, ['barkline', ...line.split(' ')]);
const known = (line: string): readonly string[] => at(line).known.map(({ text }) => text);

describe('what is being typed', () => {
  it('is a command, or a folder', () => {
    expect(known('')).toEqual(expect.arrayContaining(['play', 'shed', 'doctor', 'completion', 'help']));
    expect(at('').offer).toBe('folder');
    expect(known('shed ')).toEqual(expect.arrayContaining(['today', 'drill', 'chop', 'ear']));
  });

  it.each([
    ['play ', 'chart'],
    ['play x --key ', 'key'],
    ['play x --key=', 'key'],
    ['play --key A ', 'chart'],
    ['play --plain ', 'chart'],
    ['play --key=A ', 'chart'],
    ['play -- ', 'chart'],
    ['play x --out ', 'output'],
    ['play x --follow ', 'source'],
    ['play x --pedal ', 'source'],
    ['play x --microphone ', 'microphone'],
    ['play x --for ', 'singer'],
    ['play x --from ', null],
    ['click --meter ', 'meter'],
    ['play --bars 1 --meter=', 'meter'],
    ['import x --meter ', 'meter'],
    ['click --count-in ', 'count-in'],
    ['play x --count-in ', 'count-in'],
    ['key A --from ', 'key'],
    ['key ', 'key'],
    ['show x --fits ', 'own-singer'],
    ['export x --keys ', 'keys'],
    ['export x -o ', 'file'],
    ['plan x --instrument ', 'instrument'],
    ['plan x --start ', null],
    ['shed path --start ', 'step'],
    ['shed drill ', 'chart-or-drill'],
    ['shed ear --chart ', 'chart'],
    ['shed today --set ', 'chart'],
    ['shed today --who ', 'person'],
    ['shed plan ', 'person'],
    ['check a b ', 'chart'],
    ['import ', 'file'],
    ['import --all ', 'folder'],
    ['ports --test ', 'output'],
    ['help ', 'command'],
    ['play x ', null],
    ['play x --tempo ', null],
    ['nothing ', null],
  ])('“%s”', (line, offer) => {
    expect(at(line).offer).toBe(offer);
  });

  it.each([
    ['play x --click ', 'backbeat'],
    ['play x --click=', 'backbeat'],
    ['shed drill x ', 'chain'],
    ['shed chop ', 'damped'],
    ['shed ear ', 'bass'],
    ['shed unseen --level ', 'wicked'],
    ['export x --to ', 'musicxml'],
    ['lead --part ', 'guitar'],
    ['completion ', 'fish'],
    ['help ', 'practice'],
    ['play -', '--tempo'],
    ['shed today --', '--minutes'],
  ])('“%s” may be %s', (line, word) => {
    expect(known(line)).toContain(word);
  });

  it('has no options that are hidden, and none after two dashes', () => {
    expect(known('play --')).not.toContain('--broker');
    expect(known('lead --')).toContain('--broker');
    expect(known('play -- -')).toEqual([]);
  });

  it('keeps what stands before a value in its word', () => {
    expect(at('play x --key=F')).toMatchObject({ before: '--key=', operands: ['x'] });
    expect(at('play x --nothing=F')).toMatchObject({ known: [], offer: null });
  });
});

describe('what is offered', () => {
  /** What values are called for which nothing can be looked up: figures, dates, words of one's own. */
  const open =
    /^(tempo|bpm|bar|bars|beats|number|numbers|count|days|date|minutes|seconds|mm|stands|frets|range|notes|title|word|url|name|list|word or address|chords|words)$/;
  it('is decided for every value that any command takes', () => {
    const undecided: string[] = [];
    const visit = (command: CommandUnknownOpts): void => {
      const path = commandPath(command);
      for (const option of command.options) {
        const called = /[<[]([^\]>.]+)/.exec(option.flags)?.[1];
        if (called && !option.argChoices && optionOffer(option) === null && !open.test(called))
          undecided.push(`${path} ${option.flags}`);
      }
      for (const argument of command.registeredArguments)
        if (
          !argument.argChoices &&
          argumentOffer(path, argument.name()) === null &&
          !open.test(argument.name())
        )
          undecided.push(`${path} ${argument.name()}`);
      command.commands.forEach(visit);
    };
    visit(program);
    // Say in completion/offers.ts what is offered for these, or here that nothing can be.
    expect(undecided).toEqual([]);
  });
});

describe('an answer', () => {
  const fits = {
    files: 'none',
    isList: false,
    fitting: [
      { text: 'midi:1', says: 'Synth: A' },
      { text: 'midi:Synth A', says: '' },
      { text: 'none', says: 'x'.repeat(80) },
    ],
  } as const;
  it('is for bash what comes after the last break, and bare only where nothing has to be quoted', () => {
    expect(answerText('bash', fits, 'midi:', 'midi:')).toBe('none space quoted\n\n1\nSynth A');
    expect(answerText('bash', fits, 'midi:1', 'midi:')).toBe('none space bare\n1\n1');
    expect(answerText('bash', { ...fits, files: 'charts' }, 'no', '')).toBe('charts space quoted\nno\nnone');
  });
  it('is for zsh with colons that end nothing, and short descriptions', () => {
    expect(answerText('zsh', fits, '', '')).toBe(
      `none space\nmidi\\:1:Synth: A\nmidi\\:Synth A\nnone:${'x'.repeat(59)}…`,
    );
  });
  it('is for fish all there is, since it chooses by itself', () => {
    expect(answerText('fish', fits, 'zz', '').split('\n')).toHaveLength(4);
    expect(answerText('fish', fits, '', '')).toContain('midi:1\tSynth: A');
  });
  it('leaves the line open where more belongs to it', () => {
    expect(answerText('bash', { ...fits, isList: true }, '', '')).toMatch(/^none nospace/);
    const raw = { ...fits, fitting: [{ text: 'raw:', says: '' }] };
    expect(answerText('zsh', raw, 'ra', '')).toMatch(/^none nospace/);
  });
});
