import type { ContactModes } from '../arithmetic/contact-modes.js';

/** What the modes yield under the wheels within one step, per force at its end: a symmetric matrix of wheels by wheels. */
export class ModalYield {
  private readonly values: Float64Array;

  constructor(private readonly wheels: number) {
    this.values = new Float64Array(wheels * wheels);
  }

  /** @param onLine per wheel, 0 where no mode feels it */
  take({ shapes, follows, stride }: ContactModes, onLine: Uint8Array): void {
    const { values, wheels } = this;
    for (let wheel = 0; wheel < wheels; wheel++) {
      for (let other = 0; other <= wheel; other++) {
        let sum = 0;
        if (onLine[wheel] && onLine[other])
          for (let j = 0; j < stride; j++)
            sum += shapes[wheel * stride + j]! * follows[j]! * shapes[other * stride + j]!;
        values[wheel * wheels + other] = sum;
        values[other * wheels + wheel] = sum;
      }
    }
  }

  /** m/N, under a wheel by its own force. */
  own(wheel: number): number {
    return this.values[wheel * this.wheels + wheel]!;
  }

  /** Deflections under all wheels follow when the force of one changes. */
  follow(deflections: Float64Array, wheel: number, change: number): void {
    const row = wheel * this.wheels;
    for (let other = 0; other < deflections.length; other++)
      deflections[other]! += this.values[row + other]! * change;
  }
}
