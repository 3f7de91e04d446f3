import type { Band } from './bands.ts';

/*
 * Chromium in acid, L/(mol cm) PER Cr ATOM (a dichromate holds two).
 *
 * Limits: no full published table was found, so the curves between the published points are this project's own
 * interpolation; strong acid and high concentration shift the hydrogenchromate/dichromate balance and with it the
 * shoulder near 440 nm. The colour path therefore treats them as a first guess, and all pictures made from them are modelled.
 */

/**
 * Cr(VI) in acid. Bands solved so that the sum meets the published points exactly:
 * 257 nm 4241/2, 313 nm 1422/2, 350 nm 3153/2 (NBS SP 260-54; Burke and Mavrodineanu, J. Res. NBS 80A:631, 1976, 0.001 M HClO4),
 * 440 nm 369/2 and 545 nm 11/2 (textbook problem on Cr2O7), 430 nm 468/2 (from memory). The width at 257 nm (50 nm) is chosen;
 * it hardly matters above 380 nm.
 */
export const chromateBands: readonly Band[] = [
  { centreNm: 257, widthNm: 50, epsilon: 2120.464 },
  { centreNm: 350, widthNm: 63.9974, epsilon: 1557.991 },
  { centreNm: 426.5335, widthNm: 84.67016, epsilon: 141.992 },
];

/**
 * Violet hexaaqua Cr(III): 408 nm 15.6 and 574 nm 13.4 (from memory). Widths chosen: d-d bands of Cr(III) are
 * 3000-4500 cm-1 wide, here 74 and 104 nm.
 */
export const hexaaquaBands: readonly Band[] = [
  { centreNm: 408, widthNm: 74, epsilon: 15.6 },
  { centreNm: 574, widthNm: 104, epsilon: 13.4 },
];

/**
 * Green sulfato Cr(III), what forms in sulfuric acid: long band near 585-590 nm (from memory). The short band near 424 nm,
 * both heights (a little above the hexaaqua ion's, the short one more, which makes it green rather than violet) and widths
 * are chosen.
 */
export const sulfatoBands: readonly Band[] = [
  { centreNm: 424, widthNm: 90, epsilon: 22 },
  { centreNm: 588, widthNm: 110, epsilon: 17 },
];
