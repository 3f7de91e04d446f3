import { UserError } from '../errors.ts';
import { readTextFile, shownPath } from './read-text-file.ts';

/** Readings of a probe on the run's clock, ascending in time. */
export interface TemperatureReadings {
  readonly runS: readonly number[];
  readonly temperatureC: readonly number[];
}

const header = 'run_s,temperature_c';
/** A probe may log each second for days. */
const sizeLimit = 32 * 1024 * 1024;
/** Liquid reagent at the bench; outside, the column or unit is wrong. Chosen. */
const temperatureRange = [-30, 150] as const;

/**
 * Reads `run_s,temperature_c` rows. Comma, semicolon or tab may divide; a decimal comma is not taken.
 * @throws UserError naming the line.
 */
export async function loadTemperature(file: string): Promise<TemperatureReadings> {
  const lines = (await readTextFile(file, sizeLimit)).split(/\r?\n/);
  const shown = shownPath(file);
  const refuse = (code: string, line: number, message: string, expected: string, got: string): never => {
    throw new UserError({ code, message, file: shown, line, expected, got: got.slice(0, 60) });
  };
  const cells = (line: string): string[] => line.split(/[,;\t]/).map((cell) => cell.trim());
  if (cells(lines[0] ?? '').join(',') !== header) {
    refuse('temperature-header', 1, 'the first line does not name the columns', header, lines[0] ?? '');
  }
  const runS: number[] = [];
  const temperatureC: number[] = [];
  lines.forEach((line, index) => {
    if (index === 0 || line.trim() === '') return;
    const row = cells(line);
    const [time, temperature] = row.map((cell) => (cell === '' ? NaN : Number(cell)));
    if (row.length !== 2 || !Number.isFinite(time) || !Number.isFinite(temperature)) {
      refuse('temperature-row', index + 1, 'this row is not two numbers', 'seconds, degrees Celsius', line);
    }
    const [low, high] = temperatureRange;
    if (temperature! < low || temperature! > high) {
      refuse(
        'out-of-range',
        index + 1,
        'this is not a temperature that a rack can have',
        `${low} to ${high} degrees Celsius`,
        line,
      );
    }
    if (time! <= (runS.at(-1) ?? -Infinity)) {
      refuse('temperature-order', index + 1, 'times do not ascend', `after ${runS.at(-1)} s`, line);
    }
    runS.push(time!);
    temperatureC.push(temperature!);
  });
  if (runS.length < 1) refuse('temperature-empty', 1, 'there is no reading', 'one row or more', 'none');
  return { runS, temperatureC };
}
