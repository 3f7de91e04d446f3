/**
 * Species, lamps and cameras as numbers on one wavelength grid. Pure physics of a first guess: all of it is modelled,
 * nothing here was measured on a bench, and the colour path fits what it takes from here to the run's own vials.
 */
export { absorbancePerCm, layerTransmittance } from './beer-lambert.ts';
export { bandSpectrum, changeBands, type Band, type BandChange } from './bands.ts';
export { cameraMatrix } from './camera-matrix.ts';
export { cameraSensitivities, cameraShapes, type CameraShape } from './cameras.ts';
export { chromateBands, hexaaquaBands, sulfatoBands } from './chromium.ts';
export { blackbody, daylightD65, neutralLed, warmLed, whiteLed, type Lamp, type WhiteLedShape } from './lamps.ts';
export { adaptedLinearSrgb, xyzOf, type Matrix3, type Triple } from './observer.ts';
export { renderLinearRgb, viewingWeights, weighLinearRgb, type ViewingWeights } from './render.ts';
export { roundVialPathLengths } from './round-vial.ts';
export { onGrid, spectrumOnGrid, wavelengthsNm } from './wavelengths.ts';
