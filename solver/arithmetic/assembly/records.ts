// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Addresses are byte addresses.
// What the kernel is told by the address of a record, written by kept-rows.ts and screen-records.ts with the fields in this order.

/** A row set; see RowSet in row-set.ts. */
@unmanaged
export class SetRecord {
  values: u32;
  modes: u32;
  modeCount: i32;
  rows: u32;
  most: u32;
  /** 1 for accelerations. */
  acceleration: i32;
}

/** Static bounds of a row or a set; see StretchBounds in stretch-bounds.ts. */
@unmanaged
export class BoundsRecord {
  /** 0 without any. */
  highs: u32;
  lows: u32;
  firstStretch: i32;
  count: i32;
}

/** See Hits in row-screen.ts, as the records below see the screens there. */
@unmanaged
export class HitsRecord {
  hits: u32;
  highs: u32;
  lows: u32;
  tops: u32;
  bottoms: u32;
}

@unmanaged
export class SetScreenRecord extends HitsRecord {
  departureMost: u32;
  accelerationMost: u32;
  leastUpper: u32;
  greatestLower: u32;
  stretches: u32;
  lastColumn: i32;
}

@unmanaged
export class SizeScreenRecord extends HitsRecord {
  members: u32;
  upper: u32;
  lower: u32;
  stretches: u32;
  lastColumn: i32;
  /** Room for a number per mode of the set. */
  sizes: u32;
}

@unmanaged
export class RowScreenRecord extends HitsRecord {
  upper: u32;
  lower: u32;
  stretches: u32;
  chosen: u32;
  samples: u32;
  firstColumn: i32;
  history: u32;
  from: u32;
  to: u32;
  /** Room for a number per chosen mode. */
  weights: u32;
  /** Room for an address per chosen mode. */
  sources: u32;
}
