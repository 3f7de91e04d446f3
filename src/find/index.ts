/** Proposes where vials and patches are, and when vials were dosed. Pure; proposals are for a person to accept. */
export { findDosingTime, type DosingTime } from './find-dosing-time.ts';
export { findVials } from './find-vials.ts';
