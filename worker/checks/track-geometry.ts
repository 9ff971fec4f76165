import { supportPositions } from '../../solver/dead-load.js';
import type { CaseState } from '../assess/case-state.js';
import { against, type SafetyCheck } from './check.js';

/**
 * The new vertical alignment as an isolated defect of longitudinal level: it caps the speed by the speed classes of its limit. The deck
 * counts as dead load has left it, the track upon it as it lies under the wheels (EN 13848-1 measures the loaded track (mem)). Only a
 * damaged deck has moved, and only a damaged track sinks.
 */
export const trackGeometry: SafetyCheck = {
  id: 'track-geometry',
  unit: 'mm',
  objectives: () => [],
  judge(input) {
    const { level } = input;
    if (!input.limit || !level) return null;
    return against(
      input.limit,
      input.speedKmh,
      1e3 * level.departure,
      level.at,
      place(level.at, input.state),
    );
  },
};

/** The track on deck or approach. */
function place(at: number, { viaduct }: CaseState): string {
  const { supports } = viaduct;
  const length = supportPositions(viaduct).at(-1)!;
  if (at < 0) return `track ${(-at).toFixed(1)} m before support ${supports[0]!.id}`;
  if (at > length) return `track ${(at - length).toFixed(1)} m beyond support ${supports.at(-1)!.id}`;
  return 'track';
}
