import type { Job } from 'bullmq';

/** A job under way, and the assessment that it is for. */
export interface JobInHand {
  readonly job: string;
  readonly assessment: string;
}

/**
 * Jobs of one queue that this worker has taken and not yet ended: also parts whose scenario is still being read, of which neither the
 * queue nor the pool knows.
 */
export class JobsInHand {
  // Not by id: one that was lost and taken again is in hand twice.
  private readonly taken = new Set<JobInHand>();

  get count(): number {
    return this.taken.size;
  }

  get jobs(): readonly JobInHand[] {
    return [...this.taken];
  }

  /** Has a job in hand for as long as it is processed. */
  async during<T>(
    { id, data }: Pick<Job<{ id: string }>, 'id' | 'data'>,
    process: () => Promise<T>,
  ): Promise<T> {
    const one = { job: id ?? '', assessment: data.id };
    this.taken.add(one);
    try {
      return await process();
    } finally {
      this.taken.delete(one);
    }
  }
}
