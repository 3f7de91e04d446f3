import { describe, expect, it } from 'vitest';
import type { RgbImage } from '../../../src/model/frame.ts';
import type { Region } from '../../../src/model/region.ts';
import { overlapsAmong } from '../../../src/rig-page/page/geometry/overlap.ts';
import { dosingWarning, warningsOf } from '../../../src/rig-page/page/text/warnings.ts';
import { createRegionReadings } from '../../../src/rig-page/server/read-regions.ts';
import { keepLook } from '../../../src/rig-page/server/kept-look.ts';

/** A vial drawn for each fault: orange liquid 60 wide from (40, 40) to (100, 140), dark glass left of it. */
function picture(fault: 'none' | 'glare' | 'layers' | 'bright'): RgbImage {
  const [width, height] = [160, 180];
  const data = new Uint8Array(3 * width * height).fill(150);
  const box = (x: number, y: number, w: number, h: number, colour: readonly number[]): void => {
    for (let row = y; row < y + h; row += 1) {
      for (let column = x; column < x + w; column += 1) data.set(colour, 3 * (row * width + column));
    }
  };
  box(30, 20, 10, 125, [60, 60, 60]);
  box(40, 40, 60, 100, fault === 'bright' ? [255, 200, 40] : [206, 110, 24]);
  if (fault === 'layers') box(40, 90, 60, 50, [58, 104, 74]);
  if (fault === 'glare') box(62, 40, 17, 100, [250, 250, 250]);
  // A trace of noise, as every camera has.
  for (let at = 0; at < data.length; at += 1) data[at] = Math.min(255, data[at]! + ((at * 7919) % 5) - 2);
  return { width, height, data };
}

const liquid: Region = { id: 'A1', shape: 'rect', x: 46, y: 48, width: 48, height: 84 };

function warn(image: RgbImage, region: Region, overlapping: readonly string[] = []): readonly string[] {
  const look = keepLook({ timeRunS: 0, image: () => image, regions: () => null });
  const seeing = { frame: image, sampleSide: 1, transfer: 'srgb', looks: [look, look, look] } as const;
  return warningsOf(createRegionReadings().read(image, region, seeing), overlapping);
}

describe('warnings in words', () => {
  it('are silent about a region well placed', () => {
    expect(warn(picture('none'), liquid)).toEqual([]);
  });

  it('tell of glass at a side', () => {
    expect(warn(picture('none'), { ...liquid, x: 32, width: 60 })).toContain(
      'touches the glass on the left: make it narrower',
    );
  });

  it('tell of glare over more than a third', () => {
    expect(warn(picture('glare'), liquid)).toContain('glare or edges over more than a third');
  });

  it('tell of two layers', () => {
    expect(warn(picture('layers'), liquid)).toContain('two layers: upper and lower half differ');
  });

  it('tell of too few pixels, and of none', () => {
    expect(warn(picture('none'), { ...liquid, width: 8, height: 12 })[0]).toMatch(
      /^too small: only \d+ samples left to read$/u,
    );
    expect(warn(picture('none'), { ...liquid, width: 3, height: 3 })).toEqual(['too small: no colour can be read']);
  });

  it('tell of overlaps by name', () => {
    const other: Region = { ...liquid, id: 'A2', x: 60 };
    const apart: Region = { ...liquid, id: 'A3', x: 110 };
    const overlapping = overlapsAmong([liquid, other, apart]);
    expect(warn(picture('none'), liquid, overlapping.get('A1'))).toContain('overlaps A2');
    expect(overlapping.has('A3')).toBe(false);
  });

  it('tell of overexposure', () => {
    expect(warn(picture('bright'), liquid)).toContain('overexposed: a colour channel is at its limit');
  });

  it('ask for a dosing time that the film does not show, and only then', () => {
    const strip = { id: 'A1', colours: [], dosing: 'not-seen' } as const;
    expect(dosingWarning(strip, '')[0]).toContain('give the time it was added');
    expect(dosingWarning({ ...strip, dosing: 'before-first-frame' }, '')[0]).toContain('from the first frame on');
    expect(dosingWarning(strip, '10')).toEqual([]);
    expect(dosingWarning({ ...strip, dosing: 'found' }, '')).toEqual([]);
  });
});
