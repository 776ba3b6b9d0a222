/** The part of the package fft.js that is used here: transforms of a power of two; complex arrays have real and imaginary parts alternately. */
declare module 'fft.js' {
  export default class FFT {
    constructor(size: number);
    createComplexArray(): number[];
    /** Fills the lower half of `out` alone. */
    realTransform(out: number[], data: ArrayLike<number>): void;
    /** Fills the upper half from the lower. */
    completeSpectrum(out: number[]): void;
    inverseTransform(out: number[], data: ArrayLike<number>): void;
  }
}
