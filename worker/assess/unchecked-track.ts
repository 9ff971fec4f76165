import type { DamageCase } from '../../scenarios/assessment-model.js';
import type { Track, TrackLayer } from '../../solver/viaduct/model.js';

/** The layers of a track that have lost some of what holds them from below, and whose bending nothing was given to judge by. */
export function uncheckedLayers(
  track: Track,
  { effects, resistance }: Pick<DamageCase, 'effects' | 'resistance'>,
): readonly TrackLayer[] {
  const lost = (kind: 'bedding-loss' | 'fastening-loss') => effects.some((effect) => effect.kind === kind);
  return unknownLayers(track, resistance).filter((layer) =>
    lost(layer === 'slab' ? 'bedding-loss' : 'fastening-loss'),
  );
}

/** The layers of a track whose bending resistance was not given, or only one way. */
export function unknownLayers(track: Track, resistance: DamageCase['resistance']): readonly TrackLayer[] {
  const { slabSagging = null, slabHogging = null, rail = null } = resistance?.track ?? {};
  const slab = track.slab !== null && (slabSagging === null || slabHogging === null);
  return [...(slab ? (['slab'] as const) : []), ...(rail === null ? (['rail'] as const) : [])];
}

const names = { slab: 'the slab', rail: 'the rails' } as const;

/** "the slab and the rails"; empty for none. */
export const layerNames = (layers: readonly TrackLayer[]): string =>
  layers.map((layer) => names[layer]).join(' and ');
