/** Still patches of the picture to a shift per frame. Pure. */
export { chooseAnchors } from './choose-anchors.ts';
export { contradictedFrames } from './contradicted-frames.ts';
export { cropMarginPixels, marginForReach, widestMarginPixels } from './crop-margin.ts';
export { describeLost, type LostStretch } from './describe-lost.ts';
export { describeMotion } from './describe-motion.ts';
export { greyOfImage, movedBack, type GreyImage } from './grey-image.ts';
export { lostFrames } from './lost-frames.ts';
export { registerLook, smallLook } from './register-looks.ts';
export { registerThumbnail, type PlacedFrame } from './register-thumbnail.ts';
export { sharpnessOf } from './sharpness.ts';
export { createTracker, type TrackedShift, type Tracker } from './tracker.ts';
