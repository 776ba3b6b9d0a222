/**
 * The signs beyond plain characters that the screens draw: those of numbers and chords, of the neck and the hand, bars and marks, and
 * what sentences are written with. A terminal that gives one of them other columns than it is taken to have draws ragged lines.
 */
export const drawnSigns: readonly string[] = [
  ...'♭♯♪°⁰¹²³⁴⁵⁶⁷⁸⁹',
  ...'▮▪●○◂▸◁▷▴░█▀▄▏',
  ...'━═─╌╴│║┌┼',
  ...'←→↑↓↖↗↘↙↻',
  ...'✓✗×∙·…–—“”‘’»',
];
