/** The package has no types of its own; this is the part that the tests use. */
declare module 'midifile' {
  export default class MidiFile {
    constructor(bytes: Uint8Array);
    getMidiEvents(): readonly {
      readonly subtype: number;
      readonly channel: number;
      readonly param1: number;
      readonly param2: number;
    }[];
  }
}
