const FREE_TRIES = 4
const LONGEST_MS = 30_000

/**
 * Slows guessing without locking the owner out: after four wrong tries each further one costs a wait that doubles,
 * up to half a minute. One slow hash runs at a time, so that a flood cannot fill the memory.
 */
export class SlowDown {
  private failures = 0
  private lastAt = 0
  private queue: Promise<unknown> = Promise.resolve()

  waitMs(nowMs: number): number {
    if (this.failures < FREE_TRIES) return 0
    const pause = Math.min(1000 * 2 ** (this.failures - FREE_TRIES), LONGEST_MS)
    return Math.max(0, this.lastAt + pause - nowMs)
  }

  failed(nowMs: number): void {
    this.failures += 1
    this.lastAt = nowMs
  }

  succeeded(): void {
    this.failures = 0
  }

  oneByOne<T>(work: () => Promise<T>): Promise<T> {
    const next = this.queue.then(work, work)
    this.queue = next.catch(() => undefined)
    return next
  }
}
