/** Proposes where vials and patches are, and when vials were dosed. Pure; proposals are for a person to accept. */
export { dichromateLook, findDosingTime, type DosingTime, type ReagentLook } from './find-dosing-time.ts';
export { findVials, type FoundVials } from './find-vials.ts';
