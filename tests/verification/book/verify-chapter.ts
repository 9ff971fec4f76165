import { beforeAll, describe, expect, it } from 'vitest';
import { isWithinTolerance, relativeDifference } from './judge-quantity.js';
import type { Chapter, Evidence, Quantity } from './verification-case.js';

/** Registers one test per case of a chapter; it fails with every quantity that misses its reference. */
export function verifyChapter(chapter: Chapter): void {
  describe(chapter.title, () => {
    for (const one of chapter.cases) {
      describe(one.title, () => {
        let evidence: Evidence;
        beforeAll(() => {
          evidence = one.evaluate();
        });

        it('agrees with its reference', () => {
          expect(evidence.quantities.length).toBeGreaterThan(0);
          expect(evidence.quantities.filter((quantity) => !isWithinTolerance(quantity)).map(words)).toEqual(
            [],
          );
        });

        it('says where the reference comes from and why it tolerates what it does', () => {
          expect(one.source).not.toBe('');
          expect(one.statement).not.toBe('');
          for (const { why } of evidence.quantities) expect(why).not.toBe('');
        });
      });
    }
  });
}

function words(quantity: Quantity): string {
  const { name, unit, reference, computed, tolerance } = quantity;
  const difference = relativeDifference(quantity);
  return `${name}: ${computed} ${unit}, reference ${reference} ${unit} (${difference === null ? '-' : difference.toExponential(2)}), tolerance ${JSON.stringify(tolerance)}`;
}
