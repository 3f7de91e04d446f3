import type { Column, RegionColours } from '../model/measurement.ts';
import { channels } from './channels.ts';
import type { Channel } from './channels.ts';
import { corrected, sensorSlope } from './chart-model.ts';
import type { ChartModel } from './chart-model.ts';

/** A region's colours and standard errors through a chart's curves and matrix, frame by frame; a channel unknown leaves all three unknown. */
export function applyChartModel(region: RegionColours, model: ChartModel): RegionColours {
  const value: Record<Channel, (number | null)[]> = { red: [], green: [], blue: [] };
  const error: Record<Channel, (number | null)[]> = { red: [], green: [], blue: [] };
  region.red.forEach((_, frame) => {
    const read = channels.map((channel) => region[channel][frame] ?? null);
    const [red, green, blue] = read;
    if (
      red === null ||
      green === null ||
      blue === null ||
      red === undefined ||
      green === undefined ||
      blue === undefined
    ) {
      for (const channel of channels) {
        value[channel].push(null);
        error[channel].push(null);
      }
      return;
    }
    const colour = corrected(model, [red, green, blue]);
    const slopes = [red, green, blue].map((light, channel) => sensorSlope(model.curves[channel]!, light));
    const errors = channels.map((channel) => (region[`${channel}Se`] as Column)[frame] ?? null);
    channels.forEach((channel, row) => {
      value[channel].push(colour[row]!);
      // Errors of the three channels are independent: each comes in by its weight and the curve's slope.
      const square = errors.reduce<number | null>(
        (sum, one, column) =>
          sum === null || one === null ? null : sum + (model.matrix[row]![column]! * slopes[column]! * one) ** 2,
        0,
      );
      error[channel].push(square === null ? null : Math.sqrt(square));
    });
  });
  return { ...region, ...value, redSe: error.red, greenSe: error.green, blueSe: error.blue };
}
