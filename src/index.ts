export { fitCurve } from './numeric/fit-curve.ts';
export type { CurveFit, CurveModel, FitOptions, FitStatus } from './numeric/fit-curve.ts';
