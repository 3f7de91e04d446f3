import { assembleResult } from './assemble-result.ts';
import { dosingTimes, withDosingError } from './dosing-times.ts';
import { readSeries } from './extent-series.ts';
import {
  keptStep,
  loadChart,
  loadPlan,
  loadSavedPath,
  loadTemperature,
  measurementFolder,
  measurementKey,
  readCachedMeasurement,
  readKnownSource,
  savedPathText,
  settleMeasurement,
  type KeptPlace,
  watchSource,
  writeCachedMeasurement,
} from './files/index.ts';
import { ffmpegStamps } from './frames/ffmpeg-candidates.ts';
import { coderError } from './judge/coder-error.ts';
import { keptByEvents } from './judge/events.ts';
import { judgeRun } from './judge/judge-run.ts';
import { slowLightError } from './judge/light-error.ts';
import { median } from './numeric/median.ts';
import type { Spread } from './judge/types.ts';
import { fitSeries } from './kinetics/fit-kinetics.ts';
import { withLag } from './kinetics/lag-allowance.ts';
import { atReadingTime } from './kinetics/series-fit.ts';
import { checkFrameSize } from './check-frame-size.ts';
import type { Analysis } from './model/analysis.ts';
import type { SourceInfo } from './model/frame.ts';
import type { Measurement } from './model/measurement.ts';
import type { Reaction } from './model/reaction.ts';
import type { Region } from './model/region.ts';
import type { Role, Run } from './model/run.ts';
import { compareWithPlan } from './plan/compare.ts';
import { amountsOf } from './reaction/amounts.ts';
import { glanceRemarks, refuseSingleFrame } from './refuse-single-frame.ts';
import { writeReport } from './report/write-report.ts';

export interface Progress {
  readonly stage: string;
  readonly done: number;
  readonly total: number | null;
}

/** Everything a run's analysis depends on besides the files it names; clock and folders are handed in. */
export interface AnalyseRequest {
  readonly run: Run;
  readonly reaction: Reaction;
  readonly glance: boolean;
  /** Run clock after which frames are not looked at, seconds. */
  readonly untilS: number | null;
  readonly onProgress?: (progress: Progress) => void;
  readonly clock: () => Date;
  readonly version: string;
  /** Changes with any line of the program; absent or `null`: unknown, and only measurements are kept. */
  readonly codeId?: string | null;
  /** Changes with any line of what measures; absent or `null`: unknown, and a measurement is known by the version alone. */
  readonly measuringId?: string | null;
  /** Where measurements are kept; `null`: nowhere. */
  readonly cacheDir: string | null;
  /** Folder that paths in the result are relative to: the run file's. */
  readonly baseDir: string;
  /** Run, rig, reaction and the other small files read, with content hashes. */
  readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
  /** Content hash of the chart's table; `null` without chart. */
  readonly chartSha256: string | null;
  /** Between-vial spread from earlier runs on this rig. */
  readonly history?: Spread | null;
  /** Sentences that belong to the result's assumptions, such as that the run was judged before with other settings. */
  readonly remarks?: readonly string[];
  /** The trajectory as a Parquet file too. */
  readonly parquet?: boolean;
}

export interface AnalysedRun {
  readonly analysis: Analysis;
  /** The report folder's files. */
  readonly files: readonly { readonly path: string; readonly content: string | Uint8Array }[];
  /** Whether the measurement came from the cache. */
  readonly remeasured: boolean;
}

/**
 * One run from film to report. The order of all steps stands here and nowhere else:
 * frames, motion, colour, light -> Measurement; reaction, kinetics, judge -> Result; report.
 */
export async function analyseRun(request: AnalyseRequest): Promise<AnalysedRun> {
  const { measurement, remeasured, kept } = await measure(request, refuseSingleFrame);
  request.onProgress?.({ stage: 'judging', done: 0, total: null });
  const analysis = await judge(measurement, request, kept);
  return {
    analysis,
    files: [...writeReport(analysis, { parquet: request.parquet ?? false }), ...pathFile(analysis)],
    remeasured,
  };
}

/** A run with steady mixtures calibrates its rig and reagent: the path is kept for later runs (`path:` in their run files). */
function pathFile({ run, path }: Analysis): AnalysedRun['files'] {
  const calibrated = path.source === 'fitted' && path.pins.some((pin) => pin.includes('(mixture)'));
  if (!calibrated || path.extent.length === 0) return [];
  const saved = { rigName: run.rig.name, reaction: run.reaction.name, madeFrom: run.name, path };
  return [{ path: 'path.json', content: savedPathText(saved) }];
}

/**
 * The slow half: media to Measurement, kept by content so that a changed role or margin needs no decoding.
 * `check` may refuse a measurement before anything is written.
 */
export async function measure(
  request: AnalyseRequest,
  check: (measurement: Measurement, run: Run) => void = () => undefined,
): Promise<{ readonly measurement: Measurement; readonly remeasured: boolean; readonly kept: KeptPlace | null }> {
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

/** Roles that the path and the fits tell apart; all others are alike to them, so that a sample made a standard is judged with what is kept. */
const pathRoles: ReadonlySet<Role> = new Set(['blank', 'positive', 'negative', 'mixture']);

/** The quick half: Measurement and run file to Analysis. Extents and fits that nothing has changed are taken from where they were kept. */
export async function judge(
  measurement: Measurement,
  request: AnalyseRequest,
  place: KeptPlace | null = null,
): Promise<Analysis> {
  const { run, reaction } = request;
  const saved = run.pathFile === null ? null : await loadSavedPath(run.pathFile);
  const temperature = run.temperatureFile === null ? null : await loadTemperature(run.temperatureFile);
  const times = measurement.frames.timeRunS;
  const typicalGapS = median(times.slice(1).map((time, index) => time - times[index]!)) ?? 0;
  const kept = new Map(run.vials.map(({ region }) => [region, keptByEvents(run.events, region, typicalGapS)]));
  const { addedRunS, addedRunU, unseen, assumptions } = dosingTimes(run, measurement, reaction);
  const seriesFrom = {
    ...{ reaction, saved: saved?.path ?? null, dose: run.dose, events: run.events },
    vials: run.vials.map(({ region, role, extent }, index) => ({
      ...{ region, extent, addedRunS: addedRunS[index]! },
      role: pathRoles.has(role) ? role : 'pins nothing',
    })),
  };
  const { path: colourPath, series } = await keptStep(place, 'extents', seriesFrom, () =>
    readSeries(measurement, run, reaction, saved?.path ?? null, addedRunS, (region, runS) => kept.get(region)!(runS)),
  );
  const falseAlarm = run.alpha / run.vials.length;
  const pathDraws = colourPath.draws.length === 0 ? null : { extent: colourPath.extent, draws: colourPath.draws };
  const lightSe = slowLightError(measurement.light);
  const seriesFits = await keptStep(place, 'fits', { seriesFrom, falseAlarm }, () =>
    series.map(({ timeS, extent, extentSe, vialSe }, index) => {
      // a mixture stands where it was made: its level is no burst
      const offsetSe = run.vials[index]!.role === 'mixture' ? 1 : vialSe === null ? null : Math.max(vialSe, 1e-3);
      return fitSeries(
        { timeS, extent, extentSe },
        { falseAlarm, pathDraws, lightSe, ...(offsetSe === null ? {} : { offsetSe }) },
      );
    }),
  );
  const fits = seriesFits.map((one, index) =>
    withLag(
      withDosingError(atReadingTime(one, pathDraws, run.readAtS), addedRunU[index]!, unseen[index]!),
      coderError({ measurement, run }, run.vials[index]!, 0.5),
    ),
  );
  const judged = judgeRun({
    run,
    measurement,
    path: colourPath,
    series,
    fits,
    amounts: amountsOf(run),
    electronsPerReagent: reaction.electronsPerReagent,
    history: request.history ?? null,
    untilS: request.untilS,
    temperature,
  });
  const foretold = run.planFile === null ? null : await loadPlan(run.planFile);
  const found = assembleResult({
    run,
    measurement,
    path: colourPath,
    series,
    fits,
    judged,
    version: request.version,
    madeAt: request.clock(),
    inputs: request.inputs,
    remarks: [...glanceRemarks(measurement), ...assumptions, ...(request.remarks ?? [])],
  });
  const result =
    foretold === null ? found : { ...found, checks: [...found.checks, ...compareWithPlan(foretold, found)] };
  return {
    run,
    measurement,
    path: colourPath,
    series,
    fits,
    negativeBand: judged.negativeBand,
    cautions: reaction.cautions,
    result,
  };
}
