import { Worker } from 'node:worker_threads';
import type { Arrangement } from '../time/arrange.js';
import type { ArrangeRequest } from './arrange-worker.js';

/** Arranges charts in a thread of its own, so that planning the hand never holds up the screen. */
export class Arranger {
  private readonly worker = new Worker(new URL('./arrange-worker.js', import.meta.url));

  constructor(onArranged: (id: number, arrangement: Arrangement) => void, onError: (error: Error) => void) {
    this.worker.on('message', ({ id, arrangement }: { id: number; arrangement: Arrangement }) =>
      onArranged(id, arrangement),
    );
    this.worker.on('error', onError);
    this.worker.unref();
  }

  ask(request: ArrangeRequest): void {
    this.worker.postMessage(request);
  }

  close(): void {
    this.worker.terminate();
  }
}
