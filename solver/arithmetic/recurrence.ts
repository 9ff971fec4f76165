/** Numbers per mode that `recurrenceCoefficients` writes. */
export const coefficientsPerMode = 12;

/**
 * Exact step of q'' + 2 zeta w q' + w^2 q = p(t) for p cubic over the step, through the samples before, at both ends of and
 * after it. The scheme of N. C. Nigam and P. C. Jennings, Bulletin of the Seismological Society of America 59(2), 1969, who
 * take p linear; the cubic keeps the force right at eight samples per period, where the straight line loses 5 % of it.
 *
 * In g = w^2 q and u = w q', with p at times -h, 0, h, 2h:
 * g1 = a[0] g0 + a[1] u0 + a[2] p(-h) + a[3] p(0) + a[4] p(h) + a[5] p(2h), and u1 likewise with a[6..11].
 */
export function recurrenceCoefficients(
  angularFrequency: number,
  dampingRatio: number,
  timeStep: number,
  target: Float64Array,
  offset: number,
): void {
  const z = dampingRatio;
  const angle = angularFrequency * timeStep;
  const root = Math.sqrt(1 - z * z);
  const decay = Math.exp(-z * angle);
  const sine = (decay * Math.sin(root * angle)) / root;
  const cosine = decay * Math.cos(root * angle);
  const a11 = cosine + z * sine;
  const a22 = cosine - z * sine;
  target[offset] = a11;
  target[offset + 1] = sine;
  target[offset + 6] = -sine;
  target[offset + 7] = a22;
  for (let sample = 0; sample < samples.length; sample++) {
    const [c0, c1, c2, c3] = samples[sample]!;
    // Particular solution g = sum of d[m] (t / h)^m; the free part starts from what it leaves over.
    const d3 = c3;
    const d2 = c2 - (6 * z * d3) / angle;
    const d1 = c1 - (4 * z * d2) / angle - (6 * d3) / (angle * angle);
    const d0 = c0 - (2 * z * d1) / angle - (2 * d2) / (angle * angle);
    target[offset + 2 + sample] = d0 + d1 + d2 + d3 - a11 * d0 - (sine * d1) / angle;
    target[offset + 8 + sample] = (d1 + 2 * d2 + 3 * d3) / angle + sine * d0 - (a22 * d1) / angle;
  }
}

/** Powers of t / h in the cubic that is 1 at one of -h, 0, h, 2h and 0 at the others (Lagrange). */
const samples = [
  [0, -1 / 3, 1 / 2, -1 / 6],
  [1, -1 / 2, -1, 1 / 2],
  [0, 1, 1 / 2, -1 / 2],
  [0, -1 / 6, 0, 1 / 6],
] as const;
