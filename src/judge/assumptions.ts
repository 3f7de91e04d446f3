import { placeInFrame } from '../model/place-in-frame.ts';
import { chartAssumption } from './checks/chart.ts';
import { fewestHistoryDf } from './spread.ts';
import { arrheniusFactor, chromiumActivation, referenceTemperatureC, summariseTemperature } from './temperature.ts';
import { countText, extentText, numberText, percentText, withErrorText } from './text.ts';
import type { Situation } from './situation.ts';

/** What the verdicts take for granted, a sentence each. */
export function assumptionsOf(situation: Situation): readonly string[] {
  const { input, readingTime, margin, pooled, usedSpread, spreadAssumed, lightSe } = situation;
  const { path, measurement } = input;
  return [
    readingTime.assumption,
    input.untilS === null
      ? null
      : `Frames after ${numberText(input.untilS, 6)} s of the run's clock were ignored (--until).`,
    margin.assumption,
    input.run.dose === null || input.amounts.some(({ reagentMol }) => reagentMol !== null)
      ? null
      : `The salt "${input.run.dose.reagent.salt}" is not the formula of a chromium salt: no amounts and no levels are known.`,
    spreadAssumed
      ? `The spread between vials could not be seen in this run; a standard deviation of ${extentText(usedSpread.value)} in extent was assumed when asking whether a sample reacted.`
      : `The spread between vials, ${extentText(usedSpread.value)} in extent, comes from ${usedSpread.source} (${countText(Math.round(usedSpread.df), 'degree')} of freedom); sample vials that stand still are taken to scatter alike.`,
    pooled.historyRefused === null
      ? null
      : `The history of spread between vials was not used: ${pooled.historyRefused}${input.history!.df < fewestHistoryDf ? '' : ', so only this run was believed'}.`,
    path.pinnedEnd
      ? null
      : 'No positive reference reached a plateau, so the end of the extent scale is not pinned: extents are relative.',
    measurement.light.basis === 'patches' && lightSe > 0
      ? `The light changed by ${percentText(measurement.light.unevenness ?? 0)} unevenly over the frame; a standard error of ${extentText(lightSe)} in extent was added to every difference.`
      : null,
    measurement.light.basis === 'patches'
      ? null
      : `${measurement.light.basis === 'none' ? 'Without a neutral patch lamp drift could not be told from reaction' : 'The light was followed by the background instead of neutral patches'}; a standard error of ${extentText(lightSe)} in extent was added to every difference.`,
    backdropSentence(situation),
    chartAssumption(measurement.chart ?? null),
    temperatureSentence(situation),
    ...measurement.source.notes.filter(({ severity }) => severity === 'info').map(({ message }) => message),
    'Rate constants are apparent: they hold for this dose of sample and reagent.',
  ].filter((sentence) => sentence !== null);
}

/** How unevenly light falls on the vials, where the backdrop shows it. */
function backdropSentence({ input: { measurement, run } }: Situation): string | null {
  const backdrop = measurement.backdrop ?? null;
  if (backdrop === null) return null;
  const used = new Set(run.vials.map(({ region }) => region));
  const logs = run.rig.regions
    .filter(({ id }) => used.has(id))
    .map((region) => {
      const [x, y] = placeInFrame(region, run.rig.frame);
      return backdrop.tiltX * x + backdrop.tiltY * y + backdrop.fallOff * (x * x + y * y);
    });
  const range = 1 - Math.exp(Math.min(...logs) - Math.max(...logs));
  return `The backdrop beside the vials (${backdrop.pieces} places) shows the darkest vial ${percentText(range)} below the brightest; the light through each was expected accordingly.`;
}

function temperatureSentence({ input }: Situation): string {
  const none = 'No temperature was recorded, so rates hold for this run only.';
  if (input.temperature === null) return none;
  const times = input.measurement.frames.timeRunS;
  const summary = times.length === 0 ? null : summariseTemperature(input.temperature, times[0]!, times.at(-1)!);
  if (summary === null) return none;
  const factor = arrheniusFactor(summary.meanC);
  return `The probe showed ${summary.meanC.toFixed(1)} \u00b0C on average (${summary.lowestC.toFixed(1)} to ${summary.highestC.toFixed(1)}); at ${referenceTemperatureC} \u00b0C rates would be ${withErrorText(factor.value, factor.u)} times as large (activation energy ${withErrorText(chromiumActivation.kjPerMol, chromiumActivation.u)} kJ/mol); each vial's stand in rates.csv.`;
}
