/** Weights of samples -1, 0, 1, 2 in the cubic through them at `fraction` past sample 0 (Lagrange). */
export function cubicWeights(fraction: number, target: Float64Array, offset: number): void {
  const f = fraction;
  target[offset] = (-f * (f - 1) * (f - 2)) / 6;
  target[offset + 1] = ((f + 1) * (f - 1) * (f - 2)) / 2;
  target[offset + 2] = (-(f + 1) * f * (f - 2)) / 2;
  target[offset + 3] = ((f + 1) * f * (f - 1)) / 6;
}
