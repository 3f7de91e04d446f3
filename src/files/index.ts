export { loadRig } from './load-rig.ts';
export { loadReaction } from './load-reaction.ts';
export { loadRun, type LoadRunOptions } from './load-run.ts';
