/** Limit sets that are built in. */
export const limitSetNames = ['en-1990-a2', 'en-1990-a2-ballasted'] as const;
export type LimitSetName = (typeof limitSetNames)[number];
