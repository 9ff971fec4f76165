/** What is written once into a part of a memory and then found there again, until others need the room. */
export class KeptNumbers {
  private end = 0;
  private places = new WeakMap<object, number | null>();
  /** How often all that was kept had to go. */
  cleared = 0;

  constructor(private readonly numbers: Float64Array) {}

  /**
   * Byte address of what is kept under a key; null where it is longer than all the room there is. May clear what was kept before.
   *
   * @param write fills `length` numbers, zeros to begin with; asked for once
   */
  place(key: object, length: number, write: (target: Float64Array) => void): number | null {
    const known = this.places.get(key);
    if (known !== undefined) return known;
    const { numbers } = this;
    if (length > numbers.length) {
      this.places.set(key, null);
      return null;
    }
    if (this.end + length > numbers.length) {
      this.places = new WeakMap();
      this.end = 0;
      this.cleared++;
    }
    const target = numbers.subarray(this.end, this.end + length);
    this.end += length;
    target.fill(0);
    write(target);
    this.places.set(key, target.byteOffset);
    return target.byteOffset;
  }
}
