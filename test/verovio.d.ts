/** The package has no types of its own; this is the part that the tests use. */
declare module 'verovio/wasm' {
  /** Starts the library's module. */
  export default function createModule(): Promise<object>;
}
declare module 'verovio/esm' {
  export const LOG_WARNING: number;
  export function enableLog(level: number, module: object): void;
  export function enableLogToBuffer(on: boolean, module: object): void;
  export class VerovioToolkit {
    constructor(module: object);
    /** 1 when the data could be read. */
    loadData(text: string): number;
    /** What was said of the last data: a line each. */
    getLog(): string;
    /** What was made of it, as MEI 5. */
    getMEI(options: object): string;
  }
}
