/** Lamp and camera moods divided out of colours; frames that must not be used. Pure. */
export { correctLight, type CorrectedLight, type LightInput } from './correct-light.ts';
export { judgeFrames, type FramesToJudge } from './judge-frames.ts';
