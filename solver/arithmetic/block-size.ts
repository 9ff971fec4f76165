/** New time steps per block. */
export const blockSteps = 64;
/** Columns carried over from the block before, so that a peak on the seam has three neighbours on either side. */
export const seam = 6;
/** Columns per mode. */
export const blockWidth = blockSteps + seam;
/** Force samples per mode: one before the block, at both ends of every step, and one after. */
export const forceSamples = blockSteps + 3;
