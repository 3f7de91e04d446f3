import { createHash } from 'node:crypto';
import type { Region } from '../model/region.ts';
import type { Timing, Transfer } from '../model/run.ts';

/** All that a measurement depends on. Roles, labels, dosing, margin and reading time are not among it. */
export interface MeasurementSettings {
  /** Content of the source files in order, with the start of each where given. */
  readonly inputs: readonly { readonly sha256: string; readonly startsRunS: number | null }[];
  readonly frame: { readonly width: number; readonly height: number };
  /** Regions to be measured, in the order of the measurement. */
  readonly regions: readonly Region[];
  readonly white: readonly Region[];
  /** Picture that motion is measured against; `null`: the first frame. */
  readonly thumbnail: string | null;
  /** Rows, columns, corners and the content hash of its table; `null` without chart. */
  readonly chart: { readonly corners: unknown; readonly sha256: string } | null;
  readonly timing: Timing;
  readonly transfer: Transfer;
  readonly glance: boolean;
  readonly untilS: number | null;
  /** Version of the tool and name of the decoder: another one may see other colours. */
  readonly version: string;
  readonly decoder: string;
  /** Changes with any line of what measures; `null` unknown, then only the version tells. */
  readonly measuringId: string | null;
}

/** Folder name of a measurement: 32 hex digits that change with anything it depends on. */
export function measurementKey(settings: MeasurementSettings): string {
  return contentKey(settings);
}

/** 32 hex digits that change with anything in a plain value. */
export function contentKey(value: unknown): string {
  return createHash('sha256').update(canonical(value)).digest('hex').slice(0, 32);
}

/** JSON with sorted keys, so that the order of keys in a file does not matter. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === 'object' && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([first], [second]) => (first < second ? -1 : 1)))
      : inner,
  );
}
