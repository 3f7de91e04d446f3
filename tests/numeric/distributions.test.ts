import { describe, expect, it } from 'vitest';
import { chiSquareQuantile } from '../../src/numeric/chi-square.ts';
import { fQuantile } from '../../src/numeric/f-distribution.ts';
import { normalCdf, normalQuantile } from '../../src/numeric/normal.ts';
import { studentTCdf, studentTQuantile } from '../../src/numeric/student-t.ts';

/** Quantiles computed with scipy 1.17.1 (`scipy.stats.t/chi2/f/norm.ppf`), as a second implementation. */
const student: readonly (readonly [p: number, df: number, t: number])[] = [
  [1e-6, 1.0, -318309.8861827435],
  [0.1, 1.0, -3.0776835371752536],
  [0.975, 1.0, 12.706204736174694],
  [0.001, 2.5, -13.822193110865964],
  [0.6, 2.5, 0.2814595127485477],
  [0.99, 2.5, 5.353111173030872],
  [1e-10, 10.0, -25.466008021697725],
  [0.05, 10.0, -1.812461122811676],
  [0.975, 10.0, 2.228138851986274],
  [0.3, 1000.0, -0.524567707309227],
  [0.999, 1000.0, 3.0984021639129233],
  [0.025, 1000000.0, -1.9599663568141072],
  [0.9, 1000000.0, 1.281552412129939],
];
const chiSquare: readonly (readonly [p: number, df: number, x: number])[] = [
  [1e-6, 0.5, 1.3499395786223394e-24],
  [0.05, 0.5, 8.437150840525987e-6],
  [0.5, 0.5, 0.0873476047057468],
  [0.975, 0.5, 3.433235299960771],
  [0.9999, 0.5, 12.85662875847377],
  [1e-6, 1.0, 1.5707963267957187e-12],
  [0.05, 1.0, 0.003932140000019522],
  [0.5, 1.0, 0.454936423119572],
  [0.975, 1.0, 5.023886187314888],
  [0.9999, 1.0, 15.136705226623606],
  [1e-6, 7.0, 0.07852360099036994],
  [0.05, 7.0, 2.167349909298057],
  [0.5, 7.0, 6.345811195521515],
  [0.975, 7.0, 16.012764274629326],
  [0.9999, 7.0, 29.87750390922517],
  [1e-6, 300.0, 197.59692698554943],
  [0.05, 300.0, 260.87812388004835],
  [0.5, 300.0, 299.33359734921805],
  [0.975, 300.0, 349.87446882991526],
  [0.9999, 300.0, 399.75593550052844],
];
const fisher: readonly (readonly [p: number, df1: number, df2: number, x: number])[] = [
  [0.0001, 1.0, 1.0, 2.4674011408594612e-8],
  [0.3, 1.0, 1.0, 0.2596161836824997],
  [0.95, 1.0, 1.0, 161.4476387975882],
  [0.999, 1.0, 1.0, 405284.0679028482],
  [0.0001, 2.0, 8.5, 0.0001000061769308331],
  [0.3, 2.0, 8.5, 0.3720692718428757],
  [0.95, 2.0, 8.5, 4.350300675786313],
  [0.999, 2.0, 8.5, 17.340926699380336],
  [0.0001, 7.0, 200.0, 0.042356733206260676],
  [0.3, 7.0, 200.0, 0.6668019821952831],
  [0.95, 7.0, 200.0, 2.055594316569687],
  [0.999, 7.0, 200.0, 3.6469043266469923],
  [0.0001, 30.0, 4.0, 0.1170449779190487],
  [0.3, 30.0, 4.0, 0.78155002536073],
  [0.95, 30.0, 4.0, 5.74587698254355],
  [0.999, 30.0, 4.0, 45.42858708067982],
];
const normal: readonly (readonly [p: number, z: number])[] = [
  [1e-300, -37.0470962993612],
  [1e-20, -9.262340089798409],
  [1e-5, -4.264890793922825],
  [0.1, -1.2815515655446004],
  [0.9, 1.2815515655446004],
  [0.975, 1.959963984540054],
  [0.99999, 4.264890793923841],
];
const relative = (got: number, expected: number): number =>
  Math.abs(got - expected) / Math.max(Math.abs(expected), 1e-12);

describe('quantiles agree with scipy to 1e-10, distribution functions to 1e-9', () => {
  it.each(student)('Student t p %d, df %d', (p, df, t) => {
    expect(relative(studentTQuantile(p, df), t)).toBeLessThan(1e-10);
    expect(relative(studentTCdf(t, df), p)).toBeLessThan(1e-9);
  });
  it.each(chiSquare)('chi-square p %d, df %d', (p, df, x) => {
    expect(relative(chiSquareQuantile(p, df), x)).toBeLessThan(1e-10);
  });
  it.each(fisher)('F p %d, df %d and %d', (p, df1, df2, x) => {
    expect(relative(fQuantile(p, df1, df2), x)).toBeLessThan(1e-10);
  });
  it.each(normal)('normal p %d', (p, z) => {
    expect(relative(normalQuantile(p), z)).toBeLessThan(1e-10);
    expect(relative(normalCdf(z), p)).toBeLessThan(1e-10);
  });
});

describe('ends and impossible arguments', () => {
  it('gives infinities at 0 and 1', () => {
    expect([normalQuantile(0), normalQuantile(1)]).toEqual([-Infinity, Infinity]);
    expect([studentTQuantile(0, 3), studentTQuantile(1, 3), studentTQuantile(0.5, 3)]).toEqual([
      -Infinity,
      Infinity,
      0,
    ]);
    expect([chiSquareQuantile(0, 3), chiSquareQuantile(1, 3)]).toEqual([0, Infinity]);
  });
  it('gives NaN outside', () => {
    const impossible = [
      normalQuantile(1.1),
      studentTQuantile(0.5, -1),
      studentTCdf(Number.NaN, 3),
      chiSquareQuantile(-0.1, 3),
      chiSquareQuantile(1.1, 3),
      fQuantile(0.5, 0, 3),
      fQuantile(0.5, 3, 0),
      fQuantile(-0.1, 3, 3),
      fQuantile(1.1, 3, 3),
    ];
    expect(impossible.every(Number.isNaN)).toBe(true);
  });
  it('takes infinite degrees of freedom as normal', () => {
    expect(studentTQuantile(0.975, Infinity)).toBeCloseTo(1.959963984540054, 12);
  });
});
