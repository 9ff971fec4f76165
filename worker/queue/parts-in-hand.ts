/**
 * How many parts of assessments this worker has taken from the queue and not yet ended: also those whose scenario is still being
 * read, of which neither the queue nor the pool knows.
 */
export class PartsInHand {
  private taken = 0;

  get count(): number {
    return this.taken;
  }

  /** Has a part in hand for as long as it is processed. */
  async during<T>(process: () => Promise<T>): Promise<T> {
    this.taken += 1;
    try {
      return await process();
    } finally {
      this.taken -= 1;
    }
  }
}
