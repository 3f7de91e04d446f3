import { readFileSync } from 'node:fs';
import path from 'node:path';
import type { CurveModel } from '../../src/numeric/fit-curve.ts';

/** One certified set of the NIST Statistical Reference Datasets, nonlinear regression. */
export interface NistSet {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly starts: readonly (readonly number[])[];
  readonly certified: readonly number[];
  readonly deviations: readonly number[];
  readonly residualStandardDeviation: number;
}

/** Reads a set in NIST's own file format. */
export function readNistSet(name: string): NistSet {
  const lines = readFileSync(path.resolve('fixtures/nist', `${name}.dat`), 'utf8').split(/\r?\n/);
  const parameters = lines
    .map((line) => /^\s*b\d+\s*=\s*(.*)$/.exec(line)?.[1]?.trim().split(/\s+/).map(Number))
    .filter((row) => row !== undefined && row.length === 4);
  const sd = lines
    .map((line) => /Residual Standard Deviation:\s*(\S+)/.exec(line)?.[1])
    .find((text) => text !== undefined);
  const from = lines.findIndex((line) => /^Data:\s+y/.test(line));
  const rows = lines
    .slice(from + 1)
    .map((line) => line.trim().split(/\s+/).map(Number))
    .filter((row) => row.length === 2);
  return {
    x: rows.map((row) => row[1]!),
    y: rows.map((row) => row[0]!),
    starts: [0, 1].map((start) => parameters.map((row) => row![start]!)),
    certified: parameters.map((row) => row![2]!),
    deviations: parameters.map((row) => row![3]!),
    residualStandardDeviation: Number(sd),
  };
}

/** The models as the files state them. */
export const nistModels: Readonly<Record<string, CurveModel>> = {
  BoxBOD: { parameterCount: 2, f: (b, x) => b[0]! * (1 - Math.exp(-b[1]! * x)) },
  Misra1a: { parameterCount: 2, f: (b, x) => b[0]! * (1 - Math.exp(-b[1]! * x)) },
  Misra1b: { parameterCount: 2, f: (b, x) => b[0]! * (1 - (1 + (b[1]! * x) / 2) ** -2) },
  Misra1c: { parameterCount: 2, f: (b, x) => b[0]! * (1 - (1 + 2 * b[1]! * x) ** -0.5) },
  Rat42: { parameterCount: 3, f: (b, x) => b[0]! / (1 + Math.exp(b[1]! - b[2]! * x)) },
  Rat43: { parameterCount: 4, f: (b, x) => b[0]! / (1 + Math.exp(b[1]! - b[2]! * x)) ** (1 / b[3]!) },
  Chwirut2: { parameterCount: 3, f: (b, x) => Math.exp(-b[0]! * x) / (b[1]! + b[2]! * x) },
  DanWood: { parameterCount: 2, f: (b, x) => b[0]! * x ** b[1]! },
  Lanczos3: {
    parameterCount: 6,
    f: (b, x) => b[0]! * Math.exp(-b[1]! * x) + b[2]! * Math.exp(-b[3]! * x) + b[4]! * Math.exp(-b[5]! * x),
  },
  MGH09: { parameterCount: 4, f: (b, x) => (b[0]! * (x * x + x * b[1]!)) / (x * x + x * b[2]! + b[3]!) },
  Thurber: {
    parameterCount: 7,
    f: (b, x) => (b[0]! + x * (b[1]! + x * (b[2]! + x * b[3]!))) / (1 + x * (b[4]! + x * (b[5]! + x * b[6]!))),
  },
};
