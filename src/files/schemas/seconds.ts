import { z } from 'zod';

/** Longest time a run file may name, seconds: some thirty years. Chosen; keeps typing errors from becoming infinities. */
const longestS = 1e9;

/** A time on the run's clock, seconds. */
export const runSecondsSchema = z.number().nonnegative().max(longestS);

/** When a vial was dosed, seconds on the run's clock; negative: before the film began. */
export const addedSecondsSchema = z.number().min(-longestS).max(longestS);

/** A time after dosing, seconds. */
export const laterSecondsSchema = z.number().positive().max(longestS);

/** Seconds between frames: from a thousandth, the finest the run's clock tells, to four months. Chosen. */
export const intervalSchema = z.number().min(0.001).max(1e7);

/** Real seconds per second of playback. Chosen: from slow motion of a thousandth to four months a second. */
export const speedSchema = z.number().min(0.001).max(1e7);
