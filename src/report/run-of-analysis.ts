import type { Analysis } from '../model/analysis.ts';
import { mostPoints, numberedEvents, sampleOf, type ChartRun, type ChartVial } from './chart-data.ts';
import { hexOfLinear, linearAt, oklabOfLinear, unseen } from './seen-colour.ts';
import { thinIndices } from './thin.ts';

/** Page and charts ask for the same analysis. */
const known = new WeakMap<Analysis, ChartRun>();

/** What the charts draw of an analysis in memory. */
export function runOfAnalysis(analysis: Analysis): ChartRun {
  const { result } = analysis;
  const band = analysis.negativeBand;
  const before = known.get(analysis);
  if (before !== undefined) return before;
  const run: ChartRun = {
    result,
    vials: result.vials.map((_, index) => chartVial(analysis, index)),
    negatives: band === null ? null : band,
  };
  known.set(analysis, run);
  return run;
}

function chartVial(analysis: Analysis, index: number): ChartVial {
  const vial = analysis.result.vials[index]!;
  const series = analysis.series[index]!;
  const colours = analysis.measurement.vials.find((region) => region.id === vial.region);
  const curve = analysis.fits[index]?.curve ?? null;
  const known = series.extent.flatMap((extent, frame) => (extent === null ? [] : [{ extent, frame }]));
  const kept = thinIndices(known.length, mostPoints).map((position) => known[position]!);
  const linear = kept.map(({ frame }) => (colours === undefined ? null : linearAt(colours, frame)));
  return {
    result: vial,
    sample: sampleOf(analysis.result, vial.region),
    course: {
      timeS: kept.map(({ frame }) => series.timeS[frame]!),
      extent: kept.map(({ extent }) => extent),
      colour: linear.map((colour) => (colour === null ? unseen : hexOfLinear(colour))),
      ab: linear.map((colour) => (colour === null ? ([0, 0] as const) : oklabOfLinear(colour))),
      hueDeg: kept.map(({ frame }) => series.hueDeg[frame] ?? null),
    },
    fitted: curve === null ? null : { timeS: curve.timeS, mean: curve.extent, lower: curve.lower, upper: curve.upper },
    events: numberedEvents(analysis.run.events, vial.region, series.addedRunS),
  };
}
