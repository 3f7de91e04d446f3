/** Still patches of the picture to a shift per frame. Pure. */
export { chooseAnchors } from './choose-anchors.ts';
export { cropMarginPixels } from './crop-margin.ts';
export { describeMotion } from './describe-motion.ts';
export { greyOfImage, type GreyImage } from './grey-image.ts';
export { registerThumbnail, type PlacedFrame } from './register-thumbnail.ts';
export { sharpnessOf } from './sharpness.ts';
export { createTracker, type TrackedShift, type Tracker } from './tracker.ts';
