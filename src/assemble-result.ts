import { assembleVial } from './assemble-vial.ts';
import type { JudgeOutput } from './judge/types.ts';
import type { ColourPath, ExtentSeries } from './model/extent.ts';
import type { Fit } from './model/fit.ts';
import type { Measurement } from './model/measurement.ts';
import type { Result } from './model/result.ts';
import type { Run } from './model/run.ts';
import { framesOf, madeOf, type Provenance } from './result-facts.ts';

export interface ResultParts extends Provenance {
  readonly run: Run;
  readonly measurement: Measurement;
  readonly path: ColourPath;
  readonly series: readonly ExtentSeries[];
  readonly fits: readonly Fit[];
  readonly judged: JudgeOutput;
  /** Added to the assumptions. */
  readonly remarks: readonly string[];
}

/** Lays out result.json; decides nothing. */
export function assembleResult(parts: ResultParts): Result {
  const { run, measurement, path, judged } = parts;
  const times = measurement.frames.timeRunS;
  return {
    schema: 'vialapse/result@1',
    made: madeOf(parts, measurement),
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
      frames: framesOf(measurement),
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
