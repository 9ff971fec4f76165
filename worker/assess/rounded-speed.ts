/** A millionth of a km/h is no information; keeps files short and stable. */
export const rounded = (speedKmh: number): number => Math.round(speedKmh * 1e6) / 1e6;
