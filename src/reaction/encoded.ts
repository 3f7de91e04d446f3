/**
 * Linear light on the sRGB curve (IEC 61966-2-1), continued as an odd function below 0 and by the same formula above 1.
 * Used here as the scale on which camera noise is about even, so that a distance weighs all channels fairly.
 */
export function encode(linear: number): number {
  const size = Math.abs(linear);
  const value = size <= 0.0031308 ? 12.92 * size : 1.055 * size ** (1 / 2.4) - 0.055;
  return linear < 0 ? -value : value;
}

/** Inverse of {@link encode}. */
export function decode(encoded: number): number {
  const size = Math.abs(encoded);
  const value = size <= 0.04045 ? size / 12.92 : ((size + 0.055) / 1.055) ** 2.4;
  return encoded < 0 ? -value : value;
}

/** Derivative of {@link encode}, per unit of linear light. */
export function encodeSlope(linear: number): number {
  const size = Math.abs(linear);
  return size <= 0.0031308 ? 12.92 : (1.055 / 2.4) * size ** (1 / 2.4 - 1);
}

/**
 * A written channel below `lowest` or above `highest` was cut off or nearly so (5 and 251 of 255; chroma rounding of
 * films scatters cut-off channels that far): it only says that the true value is not on the other side.
 */
export const lowest = 0.02;
const highest = 0.985;

/** What a predicted channel is held against: the prediction, or the written value where that was cut off on that side. */
export function comparable(predicted: number, written: number): number {
  if (written < lowest) return Math.max(predicted, written);
  if (written > highest) return Math.min(predicted, written);
  return predicted;
}
