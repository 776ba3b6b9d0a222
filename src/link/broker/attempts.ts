/** This many wrong words from one address within a minute, and it must wait. */
const mostWrong = 5;
/** How long it waits the first time, ms; twice as long each time after, up to the second. */
const [firstLock, mostLock] = [30_000, 15 * 60_000];
const minute = 60_000;
/** An address that has been quiet for this long is forgotten, ms. */
const forgetAfter = 60 * minute;
/** This many wrong words a minute from all addresses together, and only those that have joined before may try. */
const mostWrongInAll = 60;
const mostAddresses = 4096;

interface Record {
  wrong: number[];
  locks: number;
  lockedUntil: number;
  last: number;
  joined: boolean;
}

/**
 * Which addresses may try a word, so that nobody can try one word after another. An address that is made to wait is not listened to
 * at all, right word or wrong. Times are ms of any clock that runs on.
 */
export class Attempts {
  private readonly records = new Map<string, Record>();
  private wrongInAll: number[] = [];

  /** Whether an address may try now. */
  mayTry(address: string, at: number): boolean {
    const record = this.records.get(addressKey(address));
    if (record && at < record.lockedUntil) return false;
    if (record?.joined) return true;
    return this.wrongInAll.filter((time) => at - time < minute).length < mostWrongInAll;
  }

  /** The word was wrong. */
  wrong(address: string, at: number): void {
    const record = this.recordOf(address, at);
    record.wrong = [...record.wrong.filter((time) => at - time < minute), at];
    this.wrongInAll = [...this.wrongInAll.filter((time) => at - time < minute), at].slice(-mostWrongInAll);
    if (record.wrong.length < mostWrong) return;
    record.lockedUntil = at + Math.min(mostLock, firstLock * 2 ** record.locks);
    record.locks += 1;
    record.wrong = [];
  }

  /** The word was right. */
  right(address: string, at: number): void {
    this.recordOf(address, at).joined = true;
  }

  private recordOf(address: string, at: number): Record {
    const key = addressKey(address);
    const known = this.records.get(key);
    const record =
      known && at - known.last < forgetAfter
        ? known
        : { wrong: [], locks: 0, lockedUntil: Number.NEGATIVE_INFINITY, last: at, joined: false };
    record.last = at;
    // The latest stand last, so that the first is the one to be forgotten.
    this.records.delete(key);
    this.records.set(key, record);
    if (this.records.size > mostAddresses)
      for (const oldest of this.records.keys()) {
        this.records.delete(oldest);
        break;
      }
    return record;
  }
}

/** What counts as one address: of IPv6 the network's half, since a machine chooses the other itself. */
export function addressKey(address: string): string {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address);
  if (mapped) return mapped[1] as string;
  if (!address.includes(':')) return address;
  const [head = '', tail] = (address.split('%')[0] ?? '').split('::');
  const front = head === '' ? [] : head.split(':');
  const back = !tail ? [] : tail.split(':');
  const middle = tail === undefined ? [] : new Array(Math.max(0, 8 - front.length - back.length)).fill('0');
  return `${[...front, ...middle, ...back]
    .slice(0, 4)
    .map((group) => Number.parseInt(group, 16).toString(16))
    .join(':')}::/64`;
}
