import { createContext } from 'react';

/**
 * Where whole lines of the screen go past Ink. Ink takes every frame apart character by character, which is most of
 * what a stand of 140 columns would cost; lines that are composed already need none of that. Ink is given one sign in
 * their place, and whoever writes the frame puts the lines there.
 */
export interface Canvas {
  /** The lines from now on; they are written with the next frame, or by `flush`. */
  put(lines: readonly string[]): void;
  /** Writes what was put, if Ink has nothing else to write. */
  flush(): void;
}

/** What stands for the lines: nothing that a list, whose lines are indented, could begin with; ASCII, which Ink measures fastest. */
export const canvasMark = '#lines#';

/** The canvas of this screen; without one, lines are drawn by Ink itself. */
export const CanvasContext = createContext<Canvas | null>(null);

/** To be called by components once they listen to keys: those that were pressed since their frame was drawn come then. */
export const ListeningContext = createContext<() => void>(() => {});
