import type { AnalyseRequest } from './analyse-request.ts';
import { checkFrameSize } from './check-frame-size.ts';
import {
  type KeptPlace,
  loadChart,
  measurementFolder,
  measurementKey,
  readCachedMeasurement,
  readKnownSource,
  settleMeasurement,
  watchSource,
  writeCachedMeasurement,
} from './files/index.ts';
import { ffmpegStamps } from './frames/ffmpeg-candidates.ts';
import type { SourceInfo } from './model/frame.ts';
import type { Measurement } from './model/measurement.ts';
import type { Region } from './model/region.ts';
import type { Run } from './model/run.ts';

/** A measurement, and whence it came. */
export interface Measured {
  readonly measurement: Measurement;
  /** Whether the media were read anew. */
  readonly remeasured: boolean;
  /** Where what is worked out from it is kept; `null`: nowhere. */
  readonly kept: KeptPlace | null;
}

/**
 * The slow half: media to Measurement, kept by content so that a changed role or margin needs no decoding.
 * `check` may refuse a measurement before anything is written.
 */
export async function measure(
  request: AnalyseRequest,
  check: (measurement: Measurement, run: Run) => void = () => undefined,
): Promise<Measured> {
  const { run, cacheDir } = request;
  const chart = run.rig.chart === null ? null : await loadChart(run.rig.chart);
  const question = {
    ...{ parts: run.source, timing: run.timing, baseDir: request.baseDir },
    ...{ glance: request.glance, untilRunS: request.untilS },
    ...{ version: request.version, measuringId: request.measuringId ?? null, decoders: ffmpegStamps() },
  };
  const used = new Set(run.vials.map((vial) => vial.region));
  const regions = run.rig.regions.filter((region) => used.has(region.id));
  const placeFor = (source: SourceInfo): KeptPlace | null =>
    cacheDir === null || typeof request.codeId !== 'string'
      ? null
      : { folder: measurementFolder(cacheDir, keyOf(request, source, regions)), codeId: request.codeId };
  const keptFor = async (source: SourceInfo): Promise<Measurement | null> => {
    const kept = cacheDir === null ? null : await readCachedMeasurement(cacheDir, keyOf(request, source, regions));
    // paths are as this run file names them, wherever the measurement was first made
    return kept === null ? null : { ...kept, source };
  };
  const known = cacheDir === null ? null : await readKnownSource(cacheDir, question);
  const unchanged = known === null ? null : await keptFor(known);
  if (unchanged !== null) {
    check(unchanged, run);
    return { measurement: unchanged, remeasured: false, kept: placeFor(unchanged.source) };
  }
  const watched = cacheDir === null ? null : await watchSource(cacheDir, question);
  // what opens and reads media is loaded only when a film is touched: a re-judgement need not wait for it
  const { openSource } = await import('./frames/index.ts');
  const opening = openSource(question);
  // loaded while ffmpeg looks into the film
  const loading = import('./measure-source.ts');
  const source = await opening;
  try {
    const kept = await keptFor(source.info);
    if (kept !== null) {
      check(kept, run);
      await watched?.keep(source.info);
      return { measurement: kept, remeasured: false, kept: placeFor(source.info) };
    }
    checkFrameSize(run, source.info);
    const { measureSource } = await loading;
    const measurement = await measureSource({
      source,
      rig: run.rig,
      regions,
      transfer: run.transfer,
      chart,
      glance: request.glance,
      onFrame: (done, total) => request.onProgress?.({ stage: 'measuring', done, total }),
    });
    check(measurement, run);
    const settled =
      cacheDir === null
        ? settleMeasurement(measurement)
        : await writeCachedMeasurement(cacheDir, keyOf(request, source.info, regions), measurement);
    await watched?.keep(source.info);
    return { measurement: settled, remeasured: true, kept: placeFor(source.info) };
  } finally {
    await source.close();
  }
}

function keyOf({ run, ...request }: AnalyseRequest, source: SourceInfo, regions: readonly Region[]): string {
  return measurementKey({
    inputs: source.inputs.map(({ sha256 }, index) => ({
      sha256,
      startsRunS: run.source[index]?.startsRunS ?? null,
    })),
    frame: run.rig.frame,
    regions,
    white: run.rig.white,
    thumbnail: run.rig.thumbnail,
    chart:
      run.rig.chart === null
        ? null
        : { corners: { ...run.rig.chart, values: null }, sha256: request.chartSha256 ?? '' },
    timing: run.timing,
    transfer: run.transfer,
    glance: request.glance,
    untilS: request.untilS,
    version: request.version,
    decoder: source.decoder,
    measuringId: request.measuringId ?? null,
  });
}
