import type { RailSpectrum } from '../../solver/vehicle/rail-spectrum.js';
import type { RailSpectrumName } from './rail-spectrum-names.js';

/** A published density of vertical irregularity with its source. */
export interface LibraryRailSpectrum {
  readonly title: string;
  readonly density: RailSpectrum;
  readonly source: string;
}

/** S = k A upper^2 / (W^2 (W^2 + upper^2)) with A in cm^2 rad/m, k = 0.25 and the break at 0.8245 rad/m. */
function fra(trackClass: number, roughness: number): LibraryRailSpectrum {
  return {
    title: `FRA class ${trackClass}`,
    density: { strength: 0.25 * roughness * 1e-4, lower: 0, upper: 0.8245 },
    source:
      'Federal Railroad Administration, A. Hamid and others, Analytical descriptions of track geometry variations, 1983: one-sided vertical profile, k = 0.25 (mem)',
  };
}

function german(title: string, strength: number): LibraryRailSpectrum {
  return {
    title,
    density: { strength, lower: 0.0206, upper: 0.8246 },
    source:
      'German spectra as given by H. Claus and W. Schiehlen, Vehicle System Dynamics 29 (supplement), 1998, taken as one-sided over rad/m (mem)',
  };
}

/** All constants are quoted from memory. */
export const railSpectra: Readonly<Record<RailSpectrumName, LibraryRailSpectrum>> = {
  'fra-4': fra(4, 0.5376),
  'fra-5': fra(5, 0.2095),
  'fra-6': fra(6, 0.0339),
  'german-low': german('German, low disturbance', 4.032e-7),
  'german-high': german('German, high disturbance', 1.08e-6),
};
