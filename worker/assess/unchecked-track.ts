import type { DamageCase } from '../../scenarios/assessment-model.js';
import type { Track, TrackLayer } from '../../solver/viaduct/model.js';

/** The layers of a track that have lost some of what holds them from below, and whose bending nothing was given to judge by. */
export function uncheckedLayers(
  track: Track,
  { effects, resistance }: Pick<DamageCase, 'effects' | 'resistance'>,
): readonly TrackLayer[] {
  const lost = (kind: 'bedding-loss' | 'fastening-loss') => effects.some((effect) => effect.kind === kind);
  const { slabSagging = null, slabHogging = null, rail = null } = resistance?.track ?? {};
  const slab = lost('bedding-loss') && track.slab !== null && (slabSagging === null || slabHogging === null);
  const rails = lost('fastening-loss') && rail === null;
  return [...(slab ? (['slab'] as const) : []), ...(rails ? (['rail'] as const) : [])];
}

const names = { slab: 'the slab', rail: 'the rails' } as const;

/** "the slab and the rails"; empty for none. */
export const layerNames = (layers: readonly TrackLayer[]): string =>
  layers.map((layer) => names[layer]).join(' and ');
