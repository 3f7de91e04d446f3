import { describe, expect, it } from 'vitest';
import { withoutCoderLag } from '../../src/light/coder-lag.ts';
import { columns } from './runs.ts';

/** sRGB curve written out (IEC 61966-2-1, above its linear part). */
const encode = (light: number): number => 1.055 * light ** (1 / 2.4) - 0.055;
const decode = (value: number): number => ((value + 0.055) / 1.055) ** 2.4;
/** Y' and Cr of BT.709 (ITU-R BT.709-6, items 3.2 and 3.3) from R'G'B'. */
const lumaOf = ([red, green, blue]: readonly number[]): number => 0.2126 * red! + 0.7152 * green! + 0.0722 * blue!;
const crOf = (rgb: readonly number[]): number => (rgb[0]! - lumaOf(rgb)) / 1.5748;

type Columns = ReturnType<typeof columns>;
const encodedAt = ({ red, green, blue }: Columns, frame: number): number[] =>
  [red[frame]!, green[frame]!, blue[frame]!].map(encode);

const course = (levels: readonly (number | null)[]): Columns =>
  columns(
    'V1',
    'vial',
    levels.length,
    (at) => (levels[at] === null ? null : [decode(levels[at]!), decode(0.6), decode(0.3)]),
    0,
  );

describe('withoutCoderLag', () => {
  it('moves a colour that went on by half a code of chroma, and leaves luma and blue', () => {
    const falling = course([0.8, 0.78, 0.7, 0.6, 0.6, 0.6]);
    const moved = withoutCoderLag(falling, 20);
    for (const frame of [2, 3, 4, 5]) {
      const [was, is] = [encodedAt(falling, frame), encodedAt(moved, frame)];
      // 8-bit chroma has 224 codes from -1/2 to 1/2 (BT.709-6, item 4.6)
      expect(224 * (crOf(is) - crOf(was))).toBeCloseTo(-0.5, 3);
      expect(lumaOf(is)).toBeCloseTo(lumaOf(was), 5);
    }
    expect(moved.blue).toEqual(falling.blue);
  });

  it('moves it by less the larger the region: a quarter of a code at 52 pixels', () => {
    const moved = withoutCoderLag(course([0.8, 0.6]), 52);
    expect(224 * (crOf(encodedAt(moved, 1)) - crOf([0.6, 0.6, 0.3]))).toBeCloseTo(-0.25, 3);
  });

  it('leaves the first frame and a vial that never moved', () => {
    const still = course([0.8, 0.8, 0.8]);
    withoutCoderLag(still, 20).red.forEach((value, frame) => expect(value).toBeCloseTo(still.red[frame]!, 6));
    expect(withoutCoderLag(course([0.8, 0.6]), 20).red[0]).toBeCloseTo(decode(0.8), 6);
  });

  it('turns with the colour', () => {
    const back = course([0.8, 0.6, 0.6, 0.8]);
    const moved = withoutCoderLag(back, 20);
    expect(moved.red[2]!).toBeLessThan(back.red[2]!);
    expect(moved.red[3]!).toBeGreaterThan(back.red[3]!);
  });

  it('turns noise within two codes up by no more than a third', () => {
    const flickering = course([0.8, 0.8 + 1 / 255, 0.8, 0.8 + 1 / 255]);
    const swing = (of: Columns): number => crOf(encodedAt(of, 1)) - crOf(encodedAt(of, 0));
    expect(swing(withoutCoderLag(flickering, 20)) / swing(flickering)).toBeGreaterThan(1);
    expect(swing(withoutCoderLag(flickering, 20)) / swing(flickering)).toBeLessThan(4 / 3);
  });

  it('follows a course over a frame that is unknown, which stays so', () => {
    const moved = withoutCoderLag(course([0.8, null, 0.6]), 20);
    expect(moved.red[1]).toBeNull();
    expect(moved.green[1]).toBeNull();
    expect(224 * (crOf(encodedAt(moved, 2)) - crOf([0.6, 0.6, 0.3]))).toBeCloseTo(-0.5, 3);
  });
});
