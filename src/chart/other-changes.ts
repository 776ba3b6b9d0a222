import { quoted } from '../base/safe-text.js';

/** What is meant by a word after an `@` that other notations use for a change or a held chord; otherwise `null`. */
export function otherChange(word: string): string | null {
  const found = quoted(`@${word}`);
  if (/^(?:fermata|hold|held|ferm)\b/i.test(word))
    return `${found}: a chord that is held until it is released is written with an underscore after it: 1_`;
  if (/^(?:stop|pause|cue|gp|halt)\b/i.test(word))
    return `${found}: to have the band stop and go on at a cue, write @wait before the bar that waits`;
  const slower = /^(?:ritard(?:ando)?|rall(?:entando)?|slow(?:er|ing)?|rit\.)(?:=?([3-9]\d)%?)?$/i.exec(word);
  if (slower) return `${found}: to slow down to a percentage of the tempo, write @rit=${slower[1] ?? '80'}%`;
  const [, tonic, rest = ''] =
    /^(?:key\s*[=:]?|to=?)?([A-G])([#b]?m?)$/u.exec(word.replace(/^(?:KEY|Key)/, 'key')) ?? [];
  return tonic === undefined ? null : `${found}: a change of key is written @key=${tonic}${rest}`;
}
