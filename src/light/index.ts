/** Lamp and camera moods divided out of colours; frames that must not be used. Pure. */
export { type BackdropPiece, fewestPieces, fitBackdrop } from './backdrop.ts';
export { describeSettings } from './camera-settings.ts';
export { chartCells } from './chart-cells.ts';
export { chartCorrection, type ChartCorrection, type ChartReading } from './chart-correction.ts';
export { correctLight, type CorrectedLight, type LightInput } from './correct-light.ts';
export { cameraLostReason, judgeFrames, type FramesToJudge } from './judge-frames.ts';
