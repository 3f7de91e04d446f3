import type { ChartReport } from '../../model/chart.ts';
import type { Check } from '../situation.ts';
import { countText, listText, numberText } from '../text.ts';

/** Mean error of left-out patches, CIEDE2000, up to which the chart is said to fit. Chosen: modelled cameras of odd sensitivities leave 1 to 4. */
const goodDeltaE = 4;
/** Patches named at most. */
const mostNamed = 6;

/** What the colour chart did: how far the camera was off and what is left, or why the chart was not used. */
export const chart: Check = ({ input }) => {
  const report = input.measurement.chart ?? null;
  if (report === null) return [];
  const good = report.applied && report.leftOutMeanDeltaE !== null && report.leftOutMeanDeltaE <= goodDeltaE;
  const status = good && report.leftOut.length <= report.patches / 4 ? 'pass' : 'warn';
  return [
    { code: 'chart', status, message: [outcome(report), missing(report)].filter((text) => text !== '').join(' ') },
  ];
};

function outcome(report: ChartReport): string {
  if (!report.applied)
    return `The colour chart was not applied: ${report.reason ?? 'the reason is unknown'}. Colours are as the camera wrote them.`;
  const curves = {
    none: 'a matrix',
    common: 'one tone curve and a matrix',
    'per-channel': 'a tone curve for each channel and a matrix',
  }[report.curves];
  return `Colours were corrected by ${curves} from ${report.used} of ${countText(report.patches, 'chart patch', 'chart patches')}: colour differences from the table ${deltaE(report.meanDeltaE)} on average and ${deltaE(report.maxDeltaE)} at most (CIEDE2000), ${deltaE(report.leftOutMeanDeltaE)} for patches left out of the fit, ${deltaE(report.uncorrectedMeanDeltaE)} without the correction.`;
}

function missing({ leftOut }: ChartReport): string {
  if (leftOut.length === 0) return '';
  const reasons = [...new Set(leftOut.map(({ reason }) => reason))];
  const said = reasons.map((reason) => {
    const patches = leftOut.filter((entry) => entry.reason === reason).map(({ patch }) => patch);
    const named =
      patches.length > mostNamed ? [...patches.slice(0, mostNamed), `${patches.length - mostNamed} more`] : patches;
    return `${listText(named)} (${reason})`;
  });
  return `Left out: ${said.join('; ')}.`;
}

const deltaE = (value: number | null): string => (value === null ? 'unknown' : numberText(value));

/** What a corrected run takes for granted about its chart; `null` without. */
export function chartAssumption(report: ChartReport | null): string | null {
  if (report === null || !report.applied) return null;
  const light = report.illuminantStated
    ? `as the table says, for ${report.illuminant}`
    : `for ${report.illuminant}, as graphic-arts tables do (the table names no light)`;
  return `Colours rest on the user's chart: its values were taken ${light}, the chart's light for that of the vials, and the camera's curves for those of the first frames (mean CIEDE2000 ${deltaE(report.meanDeltaE)}).`;
}
