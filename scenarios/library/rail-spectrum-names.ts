/** Published spectra of rail irregularity that the library carries. */
export const railSpectrumNames = ['fra-4', 'fra-5', 'fra-6', 'german-low', 'german-high'] as const;
export type RailSpectrumName = (typeof railSpectrumNames)[number];
