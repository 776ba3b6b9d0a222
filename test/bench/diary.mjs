// npm run bench -- diary [--quick]: how long a long diary takes to read, and whether a start is slower for one.
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { fileLines } from '../../dist/config/lines.js';
import { diaryLine, diaryOfLines } from '../../dist/shed/diary.js';
import { dueChanges } from '../../dist/shed/review.js';
import { changeProgress } from '../../dist/shed/summary.js';
import { median } from './figures.mjs';

const main = fileURLToPath(new URL('../../dist/main.js', import.meta.url));

function times(count, call) {
  return median(
    Array.from({ length: count }, () => {
      const start = performance.now();
      call();
      return performance.now() - start;
    }),
  );
}

/** A long diary, read and made use of; and a start with it beside one without. */
export function benchDiary(quick) {
  const lines = quick ? 10_000 : 100_000;
  const folder = mkdtempSync(join(tmpdir(), 'barkline-bench-'));
  try {
    const state = join(folder, 'barkline');
    mkdirSync(state);
    const path = join(state, 'diary.jsonl');
    const text = Array.from({ length: lines }, (_, index) =>
      diaryLine({
        at: 1.7e12 + index * 60_000,
        what: 'drill',
        drill: 'pair',
        title: '1 and 4 of Weir Hands',
        file: null,
        changes: [[`5-3-0-1/4-3-1-2>3-0-${index % 40}-x/3-1-2-x`, '1>4']],
        key: 'B',
        bpm: 180 + (index % 60),
        target: 252,
        pattern: 'low-chop',
        result: ['clean', 'miss', 'unmarked'][index % 3],
        ms: 12_000,
      }),
    ).join('\n');
    writeFileSync(path, `${text}\n`);
    let diary;
    const first = times(1, () => {
      diary = diaryOfLines(fileLines(path, { last: 200_000 }));
    });
    if (diary.entries.length !== lines) throw new Error('lines were lost');
    const again = times(5, () => diaryOfLines(fileLines(path, { last: 200_000 })));
    const due = times(3, () => dueChanges(diary.entries));
    const progress = times(3, () => changeProgress(diary.entries));
    const start = (home) =>
      times(1, () =>
        execFileSync(
          process.execPath,
          [main, 'show', fileURLToPath(new URL('../../charts/weir-hands.yaml', import.meta.url))],
          {
            stdio: 'ignore',
            env: { ...process.env, XDG_STATE_HOME: home },
          },
        ),
      );
    // By turns, so that whatever else the machine does falls on both.
    const rounds = Array.from({ length: quick ? 1 : 9 }, () => [start(join(folder, 'empty')), start(folder)]);
    const without = median(rounds.map(([one]) => one));
    const withDiary = median(rounds.map(([, one]) => one));
    console.log(`a diary of ${lines} lines, ${(text.length / 1e6).toFixed(0)} MB; ms`);
    console.table([
      {
        what: 'read, the first time',
        ms: first.toFixed(0),
        goal: 'under 500',
        met: first < 500 ? 'yes' : 'no',
      },
      { what: 'read again', ms: again.toFixed(0), goal: 'under 500', met: again < 500 ? 'yes' : 'no' },
      { what: 'schedule every change', ms: due.toFixed(0) },
      { what: 'how each change has gone', ms: progress.toFixed(0) },
      { what: 'a start without a diary', ms: without.toFixed(0) },
      {
        what: 'a start with it',
        ms: withDiary.toFixed(0),
        goal: 'no slower',
        met: withDiary < without * 1.05 ? 'yes' : 'no',
      },
    ]);
    return { first, again, due, progress, without, withDiary };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
