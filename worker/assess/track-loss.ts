import type { DamageEffect } from '../../solver/viaduct/model.js';

type TrackLoss = Extract<DamageEffect, { kind: 'bedding-loss' | 'fastening-loss' }>;

/** Whether damage takes layers of the track along a stretch, and leaves deck and supports as they are. */
export const isTrackLoss = (effect: DamageEffect): effect is TrackLoss =>
  effect.kind === 'bedding-loss' || effect.kind === 'fastening-loss';
