import FFT from 'fft.js';

/** How strongly a load that runs along the line drives each mode at each wave number. */
export interface ModeSpectra {
  /** 1/m between neighbouring wave numbers; the first is 0. */
  readonly resolution: number;
  /** How many wave numbers. */
  readonly count: number;
  /** Per mode, |integral of the mode times exp(-2 pi i k x) dx| along the loaded line, at every wave number. */
  readonly magnitudes: readonly Float32Array[];
}

/** m between the samples that are transformed, at most. */
const sampleSpacing = 0.1;

/**
 * Spatial spectra of the modes along the loaded line, by the trapezoidal rule and the fast Fourier transform.
 *
 * @param modeLines the modes at the samples of the line
 * @param step m between them
 * @param resolution 1/m between wave numbers, at most
 * @param highest 1/m
 */
export function modeSpectra(
  modeLines: readonly Float64Array[],
  step: number,
  resolution: number,
  highest: number,
): ModeSpectra {
  const stride = Math.max(1, Math.floor(sampleSpacing / step));
  const spacing = stride * step;
  const samples = Math.ceil((modeLines[0]?.length ?? 0) / stride);
  const size = 2 ** Math.ceil(Math.log2(Math.max(2 * samples, 1 / (resolution * spacing), 4)));
  const finest = 1 / (size * spacing);
  const count = Math.min(size / 2, Math.ceil(highest / finest)) + 1;
  const transform = new FFT(size);
  const spectrum = transform.createComplexArray();
  const padded = new Array<number>(size).fill(0);
  const magnitudes = modeLines.map((line) => {
    for (let i = 0; i < samples; i++) padded[i] = line[i * stride]!;
    transform.realTransform(spectrum, padded);
    return Float32Array.from(
      { length: count },
      (_, k) => spacing * Math.hypot(spectrum[2 * k]!, spectrum[2 * k + 1]!),
    );
  });
  return { resolution: finest, count, magnitudes };
}
