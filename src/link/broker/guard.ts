import type { Socket } from 'node:net';
import { FrameWatch, mostPacket } from '../frames.js';
import { type Allowance, Bucket } from './bucket.js';

/** Before it has joined, a stand says nothing longer than who it is, bytes. */
const mostBeforeJoining = 8192;
/** What a stand may send: a hundred times what it needs; and the leader, who sends to all. */
const allowances = {
  stand: { frames: { perSecond: 60, atOnce: 400 }, bytes: { perSecond: 200_000, atOnce: 6_000_000 } },
  leader: { frames: { perSecond: 1000, atOnce: 4000 }, bytes: { perSecond: 4_000_000, atOnce: 16_000_000 } },
} as const satisfies Record<string, { frames: Allowance; bytes: Allowance }>;
/** A stand that leaves more than this unread, bytes, has stopped reading. */
const mostUnread = 3 * mostPacket;

/** Watches what one connection sends, and how much it leaves unread; ends it when that is too much. */
export class Guard {
  private readonly watch = new FrameWatch(mostBeforeJoining);
  private frames = new Bucket(allowances.stand.frames);
  private bytes = new Bucket(allowances.stand.bytes);

  /** @param onCut is called with the reason, once, when the connection is ended from here */
  constructor(
    private readonly socket: Socket,
    private readonly now: () => number,
    private readonly onCut: (why: string) => void,
  ) {
    // A stream that is read by `readable` emits `data` for each piece as it is taken, before the reader sees it.
    socket.on('data', (piece) => this.look(piece as Buffer));
  }

  /** The stand has joined. */
  joined(): void {
    this.watch.most = mostPacket;
  }

  /** The stand leads: it may send more. */
  leads(): void {
    this.frames = new Bucket(allowances.leader.frames);
    this.bytes = new Bucket(allowances.leader.bytes);
  }

  /** Whether it reads what it is sent; one that does not is cut off, so that nothing piles up. */
  reads(): boolean {
    if (this.socket.writableLength <= mostUnread) return !this.socket.destroyed;
    this.cut('it no longer reads what it is sent');
    return false;
  }

  private look(piece: Buffer): void {
    const before = this.watch.frames;
    const fits = this.watch.look(piece);
    const at = this.now();
    const sparing = this.frames.take(this.watch.frames - before, at) && this.bytes.take(piece.length, at);
    if (!fits) this.cut('it sends a message that is too large, or something other than messages');
    else if (!sparing) this.cut('it sends more messages than a stand needs');
  }

  private cut(why: string): void {
    if (this.socket.destroyed) return;
    this.socket.destroy();
    this.onCut(why);
  }
}
