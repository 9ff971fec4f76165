import { seatsBeside } from '../../../solver/viaduct/seats.js';
import { type Fault, fault, type Path } from '../../fault.js';
import { numberText } from '../../schema/quantity.js';
import { member, numberIn, spanLengths } from './lenient.js';

/** m: what the solver takes for the same place. */
const same = 1e-9;

/** A loss of fastenings holds a rail seat at least: between two of them there is nothing to lose, and it would change nothing. */
export function seatlessLossFaults(document: unknown, effect: unknown, path: Path): readonly Fault[] {
  const [from, to] = [numberIn(effect, 'from_m'), numberIn(effect, 'to_m')];
  const track = member(document, 'track');
  const spacing = numberIn(member(track, 'fastening'), 'spacing_m');
  const panelLength = numberIn(member(track, 'slab'), 'panel_length_m');
  const lengths = spanLengths(document);
  if (from === null || to === null || from >= to || lengths === null) return [];
  if (spacing === null || spacing <= 0 || (panelLength !== null && panelLength <= 0)) return [];
  // Seats of a short span or panel stand up to twice the spacing apart.
  if (to - from > 2 * spacing) return [];
  const { before, behind } = seatsBeside(lengths, { spacing, panelLength }, from);
  if (before >= from - same || behind <= to + same) return [];
  const [nearestBefore, nearestBehind] = [Math.floor(1e3 * before + 1e-6), Math.ceil(1e3 * behind - 1e-6)];
  return [
    fault([...path, 'to_m'], 'no-rail-seat', {
      found: `from ${numberText(from)} m to ${numberText(to)} m, between two rail seats`,
      accepted: `a stretch over a rail seat: from_m at most ${numberText(nearestBefore / 1e3)} m or to_m at least ${numberText(nearestBehind / 1e3)} m, where the nearest ones are placed`,
    }),
  ];
}
