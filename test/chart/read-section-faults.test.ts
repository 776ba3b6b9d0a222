import { describe, expect, it } from 'vitest';
import { chartOf, faultsOf } from './written.js';

describe('faults in bars', () => {
  // A good bar stands first, so that the section is not empty as well.
  it.each([
    ['1 q5', '5:7 error “q5” is not a number'],
    ['1 (4 57)', '5:11 error “57” can be read two ways: two bars are written “5 7”, one chord “5^7”'],
    ["1 '57", '5:9 error “57” can be read two ways'],
    ['1 "𝄞" é', '5:11 error “é” is not a number'],
    ['1 4~𝄞𝄞~~', '5:11 error “~~” has two marks that exclude each other'],
    ['1\n4\t9', '6:7 error there is no degree 9'],
    ['1 A', '5:7 error “A” is a letter in a section of numbers'],
    ['A 1', '5:7 error “1” is a number in a section of letters'],
    ['= 1', '5:5 error “=” repeats the bar before it, but there is none'],
    ['1 | 4', '5:7 error no line is needed between bars'],
    ['1 1...', '5:7 error “1...”: dots divide a bar among its chords; put the chords in brackets'],
    [
      '1 (1... 5..)',
      '5:7 error 5 dots in a bar of 4/4: 4 would fill it, as in (1... 5.); if the bar really is long, add “crooked: yes”',
    ],
    [
      '1 (1. )',
      '5:7 error 1 dot in a bar of 4/4: 4 would fill it, as in (1....); if the bar really is short',
    ],
    ['1 @3/4 (1... 5.)', '5:12 error 4 dots in a bar of 3/4: 3 would fill it, as in (1.. 5.)'],
    [
      '1 @cut (1... 5..)',
      '5:12 error 5 dots in a bar of cut time: 2 (felt beats) or 4 (quarters) would fill it',
    ],
    [
      '1 @6/8 (1.. 5..)',
      '5:12 error 4 dots in a bar of 6/8: 2 (felt beats) or 6 (eighths) would fill it, as in (1. 5.)',
    ],
    [
      '1 @9/8 (1... 5...)',
      '6 dots in a bar of 9/8: 3 (felt beats) or 9 (eighths) would fill it, as in (1..... 5....)',
    ],
    [
      '1 (1 4 5)',
      '5:7 error 3 chords do not divide the beats of a bar of 4/4 evenly; use dots to say how long each one is: (1.. 4. 5.) or (1. 4. 5..)',
    ],
    [
      '1 @3/4 (1 4)',
      '5:12 error 2 chords do not divide the beats of a bar of 3/4 evenly; use dots to say how long each one is: (1.. 4.) or (1. 4..)',
    ],
    ['1 @5/4 (1 4)', '(1... 4..) or (1.. 4...)'],
    ['1 @cut (1 4 5)', '(1.. 4. 5.) or (1. 4. 5..)'],
    ['1 @6/8 (1 4 5)', '(1.. 4.. 5..), (1... 4.. 5.), (1.. 4. 5...) or (1. 4.. 5...)'],
    ["1 @6/8 ('1 4~ 5 nc)", "('1.. 4~. 5.. nc.) or ('1. 4~.. 5. nc..)"],
    ['A @3/4 (A D)', '(A.. D.) or (A. D..)'],
    [
      '1 (1 4 5 1 4)',
      '5 chords do not divide the beats of a bar of 4/4 evenly, and dots can divide it among 4 at most; write 4 or fewer with dots, or 8 evenly',
    ],
    ['1 (1.. 5)', '5:7 error some chords of this bar have dots and some do not'],
    [`1 (${'1 '.repeat(17)})`, '5:7 error 17 chords in one bar; at most 16'],
    ['1 ()', '5:7 error an empty bar; a bar without a chord is written nc'],
    ['1 (1 =)', '5:10 error “=” cannot be inside a bar'],
    ['1 (1 @3/4 4)', '5:10 error “@3/4” cannot be inside a bar'],
    ['1 (1 4', '5:7 error this “(” is not closed'],
    ['1 (1 4\n5)', '5:7 error this “(” is not closed'],
    ['1 )', '5:7 error this “)” has no “(” before it'],
    ['1 ]', '5:7 error this “]” has no “[” before it'],
    ['1 :|', '5:7 error this :| has no |: before it'],
    ['1 |: 4', '5:7 error this |: is never closed; write :| at its end'],
    ['|: 1 |: 4 :|', '5:10 error this is a repeat inside a repeat'],
    ['1 x3', '5:7 error “x3” says how often to repeat; write it directly after :|'],
    ['|: 1 :| x1', '5:13 error “x1”: a repeat is played 2 to 100 times'],
    ['|: 1 :| x101', '5:13 error “x101”: a repeat is played 2 to 100 times'],
    ['1 [1st 4 ]', '5:7 error an ending belongs in a repeat'],
    ['|: 1 [1st 4 ] :| 5 [2nd 1 ]', '5:24 error an ending belongs in a repeat'],
    ['|: 1 [frist 4 ] :|', '5:10 error “[frist” is not an ending; write [1st … ], [2nd … ] or [last … ]'],
    ['|: 1 [1st 4 [2nd 5 ] :|', '5:17 error this is an ending inside an ending'],
    ['1 [last 4', '5:7 error this ending is never closed; write ] at its end'],
    ['1 "hold 4', '5:7 error the cue “hold 4” is not closed; close it with a second "'],
    ['1 @temop=90', '5:7 error “@temop=90” is not a change; did you mean “tempo”?'],
    ['1 \u001b[2J', '5:7 error “␛” is not a number'],
  ])('%j', (bars, first) => {
    expect(faultsOf(chartOf(bars))[0]).toContain(first);
  });

  it('tells several faults at once, each in its place', () => {
    const told = faultsOf(chartOf('1 q 57 (1.. 4)\n|: @key+99 1 "x'));
    expect(told.map((one) => one.slice(0, one.indexOf(' ')))).toStrictEqual([
      '5:7',
      '5:10',
      '5:12',
      '6:5',
      '6:8',
      '6:18',
    ]);
  });

  it('does not call the end of a last ending with a repeat in it an end of nothing', () => {
    expect(faultsOf(chartOf('1 [last |: 4 :| ] 5')).join()).not.toContain('closes nothing');
  });

  it('does not take a closed repeat for the end of the ending around it', () => {
    expect(faultsOf(chartOf('1 [last |: 4 :| 1'))).toStrictEqual([
      expect.stringContaining('5:7 error this ending is never closed'),
    ]);
  });
});

describe('bars without a space between', () => {
  it.each([
    [
      '5(7)',
      '5:6 error a space is missing between bars: “5 (7)”; a single chord with its kind is written “5^7”',
    ],
    [
      'G(7)',
      '5:6 error a space is missing between bars: “G (7)”; a single chord with its kind is written “G7”',
    ],
    ['1(4 5)', '5:6 error a space is missing between bars: “1 (4 5)”'],
    ['(4 5)1', '5:5 error a space is missing between bars: “(4 5) 1”'],
    ['1(4 5)1', '5:6 error a space is missing between bars: “1 (4 5) 1”'],
  ])('%s is told', (bars, fault) => {
    expect(faultsOf(chartOf(bars, 'crooked: yes\n')).map((one) => one.replace(/^6/, '5'))).toContain(fault);
  });

  it.each(['1 (4 5) 1', '|:(1 4) 5:|', '(1 4)(5 1)', '@key+2(1 4)', '|: 1 :| x3(1 4)'])(
    '%s is not',
    (bars) => {
      expect(faultsOf(chartOf(bars)).filter((one) => one.includes('space is missing'))).toStrictEqual([]);
    },
  );
});

describe('how often to repeat, written otherwise', () => {
  it.each([
    [':| x 3', 'error the number of times is written “:| x3”'],
    [':| 3x', 'error the number of times is written “:| x3”'],
    [':|3x', 'error the number of times is written “:| x3”'],
    [':| X3', 'error the number of times is written “:| x3”'],
    [':| (3x)', 'error the number of times is written “:| x3”'],
    [':| (x3)', 'error the number of times is written “:| x3”'],
    [':| 3 times', 'error the number of times is written “:| x3”'],
    [':| 3', 'warning 3 after :| is read as a bar; the number of times is written “:| x3”'],
    [':| (3) ; thrice', 'warning 3 after :| is read as a bar; the number of times is written “:| x3”'],
  ])('behind |: 1 4 %s', (end, says) => {
    expect(faultsOf(chartOf(`|: 1 4 ${end}`, 'crooked: yes\n'))).toStrictEqual([
      expect.stringContaining(says),
    ]);
  });

  it.each([
    ['1 4 5 1 x2', 'error “x2” says how often to repeat; write it directly after :|, as in |: 1 4 5 1 :| x2'],
    ['(1 4) x2', 'as in |: 1 4 5 1 :| x2'],
    ['1 4 5 1 2x', 'error “2x” says how often to repeat; write it directly after :|, as in |: 1 4 5 1 :| x2'],
  ])('without a repeat: %s', (bars, says) => {
    expect(faultsOf(chartOf(bars))).toStrictEqual([expect.stringContaining(says)]);
  });

  it.each(['|: 1 4 :| 5 1', '|: 1 4 :| 1', '|: 1 4 :| x3', '|: 1 4 :| (4 5)'])('is not %s', (bars) => {
    expect(faultsOf(chartOf(bars, 'crooked: yes\n'))).toStrictEqual([]);
  });
});
