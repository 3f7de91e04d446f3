import { assembleVial } from './assemble-vial.ts';
import type { JudgeOutput } from './judge/types.ts';
import type { ColourPath, ExtentSeries } from './model/extent.ts';
import type { Fit } from './model/fit.ts';
import type { Measurement } from './model/measurement.ts';
import type { Result } from './model/result.ts';
import type { Run } from './model/run.ts';

export interface ResultParts {
  readonly run: Run;
  readonly measurement: Measurement;
  readonly path: ColourPath;
  readonly series: readonly ExtentSeries[];
  readonly fits: readonly Fit[];
  readonly judged: JudgeOutput;
  readonly version: string;
  readonly madeAt: Date;
  /** Files beside the source that the result rests on: run, rig, reaction, …, relative to the run file. */
  readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
  /** Added to the assumptions. */
  readonly remarks: readonly string[];
}

/** Lays out result.json; decides nothing. */
export function assembleResult(parts: ResultParts): Result {
  const { run, measurement, path, judged } = parts;
  const times = measurement.frames.timeRunS;
  return {
    schema: 'vialapse/result@1',
    made: {
      version: parts.version,
      at: parts.madeAt.toISOString(),
      inputs: [...parts.inputs, ...measurement.source.inputs],
      decoder: measurement.source.decoder,
    },
    run: {
      name: run.name,
      reaction: run.reaction.name,
      duration_s: (times[times.length - 1] ?? 0) - (times[0] ?? 0),
      read_at_s: judged.readAtS,
      read_at_declared: judged.readAtDeclared,
      alpha: run.alpha,
      margin: judged.marginExtent,
      glance: measurement.glance,
      assumptions: [...judged.assumptions, ...parts.remarks],
      record: run.record,
      frames: {
        read: measurement.framesRead,
        used: times.length,
        rejected: measurement.rejected.map(({ index, reason }) => ({ index, reason })),
      },
      path: {
        pins: path.pins,
        source: path.source,
        residual: path.residual,
        extent_error: path.extentError,
      },
      between_vial_sd: judged.betweenVialSd,
    },
    vials: run.vials.map((vial, index) => assembleVial(vial, parts.series[index]!, parts.fits[index]!, judged, index)),
    samples: judged.samples,
    references: judged.references,
    reading_window: judged.readingWindow,
    checks: judged.checks,
  };
}
