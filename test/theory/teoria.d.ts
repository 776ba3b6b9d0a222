/** The little of the library `teoria` that the checks call; it brings no types of its own. */
declare module 'teoria' {
  interface TeoriaNote {
    chroma(): number;
    midi(): number;
    fq(): number;
    scale(name: 'major' | 'minor'): { simple(): string[] };
  }
  const teoria: {
    note(name: string): TeoriaNote;
    chord(name: string): { notes(): TeoriaNote[] };
  };
  export default teoria;
}
