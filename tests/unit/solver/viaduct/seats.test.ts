import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buildGrid } from '../../../../solver/mesh/grid.js';
import { seatsBeside } from '../../../../solver/viaduct/seats.js';
import { dampedSlabTrack } from '../../../verification/models/viaducts.js';
import { plainViaduct } from '../../assess/viaducts.js';

const track = dampedSlabTrack();
const lengths = [36, 36];

describe('the seats beside a place', () => {
  it.each([null, 5.2])(
    'are those of the grid, on the deck and on the approaches (panels of %s m)',
    (panelLength) => {
      const viaduct = { ...plainViaduct(2), track: { ...track, slab: { ...track.slab!, panelLength } } };
      const { x, seats } = buildGrid(viaduct, { highestFrequency: 0 });
      const placed = Array.from(seats, (index) => x[index]!);
      fc.assert(
        fc.property(fc.double({ min: -5, max: 77, noNaN: true }), (at) => {
          const { before, behind } = seatsBeside(
            lengths,
            { spacing: track.fastening.spacing, panelLength },
            at,
          );
          expect(before).toBeCloseTo(placed.findLast((seat) => seat <= at)!, 6);
          expect(behind).toBeCloseTo(placed.find((seat) => seat >= at)!, 6);
        }),
      );
    },
  );
});
