// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Two columns per instruction; every sum is taken mode by mode, as in mode-subtraction.ts, so that the results are the same to the bit.

/**
 * rows -= factors times modes, for columns in [0, columns): a multiple of four.
 *
 * @param rows row by row; a multiple of four of them
 * @param factors of four rows each, mode by mode
 * @param modes mode by mode
 * @param stride bytes from one row to the next, and from one mode to the next
 */
export function subtractModes(
  rows: usize,
  rowCount: i32,
  factors: usize,
  modes: usize,
  modeCount: i32,
  columns: i32,
  stride: usize,
): void {
  for (let column = 0; column < columns; column += 4) {
    let factor = factors;
    let a = rows + (<usize>column << 3);
    for (let row = 0; row < rowCount; row += 4) {
      const b = a + stride;
      const c = b + stride;
      const d = c + stride;
      let a0 = v128.load(a);
      let a1 = v128.load(a, 16);
      let b0 = v128.load(b);
      let b1 = v128.load(b, 16);
      let c0 = v128.load(c);
      let c1 = v128.load(c, 16);
      let d0 = v128.load(d);
      let d1 = v128.load(d, 16);
      let mode = modes + (<usize>column << 3);
      for (let j = 0; j < modeCount; j++) {
        const m0 = v128.load(mode);
        const m1 = v128.load(mode, 16);
        const ofA = v128.load64_splat(factor);
        a0 = f64x2.sub(a0, f64x2.mul(ofA, m0));
        a1 = f64x2.sub(a1, f64x2.mul(ofA, m1));
        const ofB = v128.load64_splat(factor, 8);
        b0 = f64x2.sub(b0, f64x2.mul(ofB, m0));
        b1 = f64x2.sub(b1, f64x2.mul(ofB, m1));
        const ofC = v128.load64_splat(factor, 16);
        c0 = f64x2.sub(c0, f64x2.mul(ofC, m0));
        c1 = f64x2.sub(c1, f64x2.mul(ofC, m1));
        const ofD = v128.load64_splat(factor, 24);
        d0 = f64x2.sub(d0, f64x2.mul(ofD, m0));
        d1 = f64x2.sub(d1, f64x2.mul(ofD, m1));
        mode += stride;
        factor += 32;
      }
      v128.store(a, a0);
      v128.store(a, a1, 16);
      v128.store(b, b0);
      v128.store(b, b1, 16);
      v128.store(c, c0);
      v128.store(c, c1, 16);
      v128.store(d, d0);
      v128.store(d, d1, 16);
      a = d + stride;
    }
  }
}
