/** Files and checks give speeds in km/h, the solver takes m/s. */
export const kmhPerMetrePerSecond = 3.6;

/** m/s, as the solver takes it. */
export const metresPerSecond = (speedKmh: number): number => speedKmh / kmhPerMetrePerSecond;
