import type { BookWriter } from './format.js';
import { sheetPdf } from './sheet-pdf.js';

/** A book as PDF. */
export const writePdf: BookWriter = ({ sheets, order }, { paper, large, leftHanded, blank, marks, fonts }) =>
  sheetPdf(
    sheets,
    { paper: paper === 'a4' ? 'A4' : 'letter', large, leftHanded, blank, marks, fonts: fonts() },
    order,
  );
