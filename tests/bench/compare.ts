import { readFileSync } from 'node:fs';
import type { Measurement } from './workload.js';

// npm run bench:compare -- before.json after.json: medians side by side, and whether the spreads overlap.
const [beforeFile, afterFile] = process.argv.slice(2);
if (beforeFile === undefined || afterFile === undefined) {
  console.error('usage: npm run bench:compare -- BEFORE.json AFTER.json');
  process.exit(2);
}
const read = (file: string): readonly Measurement[] => JSON.parse(readFileSync(file, 'utf8'));
const before = new Map(read(beforeFile).map((measurement) => [measurement.id, measurement]));
for (const after of read(afterFile)) {
  const base = before.get(after.id);
  if (!base) {
    console.log(`${after.id}: ${after.median.toFixed(3)} s, new`);
    continue;
  }
  const apart = after.highest < base.lowest || after.lowest > base.highest;
  const change = 100 * (after.median / base.median - 1);
  const work = Object.keys(after.work).filter((what) => after.work[what] !== base.work[what]);
  console.log(
    `${after.id}: ${base.median.toFixed(3)} -> ${after.median.toFixed(3)} s, ${change > 0 ? '+' : ''}${change.toFixed(0)} %` +
      `${apart ? '' : ' (within the spread)'}${work.length > 0 ? `; differs in ${work.join(', ')}` : ''}`,
  );
}
