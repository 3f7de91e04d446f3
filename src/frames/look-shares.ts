/**
 * Pictures looked at before measuring, shares of the run in the order they are asked for: enough to tell lasting glare
 * from colour, and for the report. Chosen; six cost half a second of 1080p. The rig page learns from the same ones.
 */
export const lookShares: readonly number[] = [0, 0.4, 1, 0.2, 0.6, 0.8];
