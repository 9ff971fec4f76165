import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import { type DynamicModel, onTrack } from '../../solver/dynamic-model/dynamic-model.js';
import { buildTrainTables } from '../../solver/passage/train-tables.js';
import type { ObjectiveIndex } from '../../solver/peaks/objective.js';
import { meeting, type Peaks, together } from '../../solver/peaks/peaks.js';
import type { MovingTrain } from '../../solver/viaduct/model.js';
import { MeetingPeaks } from './meeting-peaks.js';
import { TrainPassages } from './train-passages.js';

type Meeting = AssessmentModel['meeting'];

/** Passages of one train at any speed, every track and both directions taken into account. */
export interface TrackPassages extends Pick<TrainPassages, 'peaksAt' | 'allPeaksAt'> {
  /** The model with the train on each track, and peaks of every row as it creeps over there. */
  readonly tracks: readonly { readonly loaded: DynamicModel; readonly standing: () => Peaks }[];
}

/**
 * Prepares the passages of a train over every track. Trains that meet run at the same speed on all tracks at once; how far one is
 * ahead of the other is free, so that the worst of a response is the sum of what each track alone reaches of it, in the worse
 * direction.
 */
export function trackPassages(
  dynamics: DynamicModel,
  train: MovingTrain,
  mode: Meeting,
  objectives: ObjectiveIndex,
): TrackPassages {
  const passages = perTrack(dynamics, (loaded) => {
    const forward = buildTrainTables(loaded, train, 'forward');
    const reverse = () => buildTrainTables(loaded, train, 'reverse', forward);
    return new TrainPassages(loaded, forward, reverse, objectives);
  });
  const tracks = perTrack(dynamics, (loaded) => ({
    loaded,
    standing: () => passages[loaded.line.track]!.quasiStatic(),
  }));
  const all = (speedKmh: number) =>
    onAllTracks(
      mode,
      passages.map((one) => one.allPeaksAt(speedKmh)),
    );
  if (passages.length > 1 && mode === 'all-tracks') {
    const meetings = new MeetingPeaks(passages, objectives);
    return { tracks, peaksAt: (speedKmh) => meetings.peaksAt(speedKmh), allPeaksAt: all };
  }
  const wanted = (speedKmh: number) => passages.map((one) => one.peaksAt(speedKmh)).reduce(together);
  return { tracks, peaksAt: wanted, allPeaksAt: all };
}

/** One value for each track that may be loaded. */
export function perTrack<T>(dynamics: DynamicModel, value: (loaded: DynamicModel) => T): T[] {
  return dynamics.tracks.map((_, track) => value(track === 0 ? dynamics : onTrack(dynamics, track)));
}

/** Peaks of every row with trains on all tracks, or on the worst of them, from those of each track alone. */
export function onAllTracks(mode: Meeting, tracks: readonly Peaks[]): Peaks {
  return tracks.reduce(mode === 'all-tracks' ? meeting : together);
}
