import type { Job } from 'bullmq';
import type { DeliveryJob } from '../queue/queues.js';
import { putOff } from './await-turn.js';

/** Of the deliveries under way on a worker, so many may be for one subscription: a receiver that never answers holds nobody else up. */
const MOST_OF_ONE = 2;

/** Who is being told at the moment. */
export class DeliveryShares {
  private readonly underWay = new Map<string, number>();

  /**
   * Delivers, or puts the delivery off while its subscription has its share already.
   *
   * @throws DelayedError when it has been put off
   */
  async within<T>(
    job: Pick<Job<DeliveryJob>, 'data' | 'timestamp' | 'moveToDelayed'>,
    token: string,
    deliver: () => Promise<T>,
  ): Promise<T> {
    const { subscription } = job.data;
    const already = this.underWay.get(subscription) ?? 0;
    if (already >= MOST_OF_ONE) return putOff(job, token);
    this.underWay.set(subscription, already + 1);
    try {
      return await deliver();
    } finally {
      const left = (this.underWay.get(subscription) ?? 1) - 1;
      if (left > 0) this.underWay.set(subscription, left);
      else this.underWay.delete(subscription);
    }
  }
}
