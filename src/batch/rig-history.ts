import type { Overview } from '../model/overview.ts';

/** Fewer degrees of freedom are no history (the contract's rule). */
const fewestDf = 6;

/**
 * Between-vial spread from earlier runs on the same rig and reaction whose controls passed, the run itself left out:
 * scatter of negative references within each run, pooled. `null` below six degrees of freedom.
 */
export function rigHistory(
  overview: Overview,
  run: { readonly name: string; readonly rigSha256: string; readonly reaction: string },
): { readonly value: number; readonly df: number; readonly source: string } | null {
  const rows = overview.rows.filter(
    (row) =>
      row.name !== run.name &&
      row.rig_sha256 === run.rigSha256 &&
      row.reaction === run.reaction &&
      row.controls === 'passed' &&
      row.negatives !== null,
  );
  const df = rows.reduce((sum, { negatives }) => sum + negatives!.df, 0);
  if (df < fewestDf) return null;
  const squares = rows.reduce((sum, { negatives }) => sum + negatives!.sum_of_squares, 0);
  if (!(squares > 0)) return null;
  return {
    value: Math.sqrt(squares / df),
    df,
    source: `negative references of ${rows.length} earlier runs on this rig`,
  };
}
