import type { AnalyseRequest } from './analyse-request.ts';
import { assembleResult } from './assemble-result.ts';
import { collectGarbage } from './collect-garbage.ts';
import { dosingTimes } from './dosing-times.ts';
import { type KeptPlace, loadPlan, loadSavedPath, loadTemperature, savedPathText } from './files/index.ts';
import { judgeRun } from './judge/judge-run.ts';
import { fitVials } from './kept-fits.ts';
import { measure } from './kept-measurement.ts';
import type { Analysis } from './model/analysis.ts';
import type { Measurement } from './model/measurement.ts';
import { compareWithPlan } from './plan/compare.ts';
import { amountsOf } from './reaction/amounts.ts';
import { glanceRemarks, refuseSingleFrame } from './refuse-single-frame.ts';
import { writeReport } from './report/write-report.ts';

export interface AnalysedRun {
  readonly analysis: Analysis;
  /** The report folder's files. */
  readonly files: readonly { readonly path: string; readonly content: string | Uint8Array }[];
  /** Whether the media were read anew. */
  readonly remeasured: boolean;
}

/**
 * One run from film to report. The order of all steps stands here and nowhere else:
 * frames, motion, colour, light -> Measurement; reaction, kinetics, judge -> Result; report.
 */
export async function analyseRun(request: AnalyseRequest): Promise<AnalysedRun> {
  const { measurement, remeasured, kept } = await measure(request, refuseSingleFrame);
  if (remeasured) collectGarbage(); // the frames' readings
  request.onProgress?.({ stage: 'judging', done: 0, total: null });
  const analysis = await judge(measurement, request, kept);
  if (remeasured) collectGarbage(); // what judging tried and dropped
  return {
    analysis,
    files: [...writeReport(analysis, { parquet: request.parquet ?? false }), ...pathFile(analysis)],
    remeasured,
  };
}

/** The quick half: Measurement and run file to Analysis. What was worked out before from the same is taken from `place`. */
export async function judge(
  measurement: Measurement,
  request: AnalyseRequest,
  place: KeptPlace | null = null,
): Promise<Analysis> {
  const { run, reaction } = request;
  const saved = run.pathFile === null ? null : await loadSavedPath(run.pathFile);
  const temperature = run.temperatureFile === null ? null : await loadTemperature(run.temperatureFile);
  const foretold = run.planFile === null ? null : await loadPlan(run.planFile);
  const dosed = dosingTimes(run, measurement, reaction);
  const fitted = await fitVials({ measurement, run, reaction, saved: saved?.path ?? null, dosed, place });
  const judged = judgeRun({
    ...{ run, measurement, temperature, amounts: amountsOf(run), untilS: request.untilS },
    ...{ electronsPerReagent: reaction.electronsPerReagent, history: request.history ?? null },
    ...fitted,
  });
  const found = assembleResult({
    ...{ run, measurement, judged, version: request.version, madeAt: request.clock(), inputs: request.inputs },
    ...fitted,
    remarks: [...glanceRemarks(measurement), ...dosed.assumptions, ...(request.remarks ?? [])],
  });
  const checks = [...found.checks, ...(foretold === null ? [] : compareWithPlan(foretold, found))];
  return {
    ...{ run, measurement, ...fitted, negativeBand: judged.negativeBand, cautions: reaction.cautions },
    result: { ...found, checks },
  };
}

/** A run with steady mixtures calibrates its rig and reagent: the path is kept for later runs (`path:` in their run files). */
function pathFile({ run, path }: Analysis): AnalysedRun['files'] {
  const calibrated = path.source === 'fitted' && path.pins.some((pin) => pin.includes('(mixture)'));
  if (!calibrated || path.extent.length === 0) return [];
  const saved = { rigName: run.rig.name, reaction: run.reaction.name, madeFrom: run.name, path };
  return [{ path: 'path.json', content: savedPathText(saved) }];
}
