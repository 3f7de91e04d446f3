export { isRunning, machineHash } from './process-owner.ts';
export { loadRig, type LoadRigOptions } from './load-rig.ts';
export { loadChart } from './load-chart.ts';
export { loadBench, loadPlan } from './load-bench.ts';
export { loadReaction } from './load-reaction.ts';
export { loadRun, type LoadRunOptions } from './load-run.ts';
export { loadTemperature, type TemperatureReadings } from './load-temperature.ts';
export { loadSavedPath, savedPathText, type SavedPath } from './saved-path.ts';
export { measurementKey, type MeasurementSettings } from './measurement-key.ts';
export { keptStep, type KeptPlace } from './kept-step.ts';
export {
  measurementFolder,
  readCachedMeasurement,
  settleMeasurement,
  writeCachedMeasurement,
} from './measurement-cache.ts';
export { checkReportFolder, isReportFolder, writeReportFolder } from './report-folder.ts';
export {
  recoverFolder,
  writeFolderAtomically,
  type OutputFile,
  type WriteFolderOptions,
} from './write-folder-atomically.ts';
export { writeFault } from './write-fault.ts';
export { writeFileAtomically } from './write-file-atomically.ts';
export { projectRoot, reactionsFolder } from './project-root.ts';
export { nearest } from './nearest.ts';
export { shownPath } from './read-text-file.ts';
export { readKnownSource, type SourceQuestion, watchSource } from './known-source.ts';
