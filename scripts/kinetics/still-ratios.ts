/**
 * Likelihood ratios of still series, one a line: rho, frames, effective count, ratio. The thresholds of
 * src/kinetics/evidence.ts are fitted to these. `node --import tsx scripts/kinetics/still-ratios.ts [COUNT] [SEED]`
 */
import { effectiveCount } from '../../src/kinetics/effective-count.ts';
import { noiseGrid } from '../../src/kinetics/estimate-noise.ts';
import { risingRatio } from '../../src/kinetics/evidence.ts';
import { fitCandidate } from '../../src/kinetics/fit-candidate.ts';
import { allModels } from '../../src/kinetics/models/all-models.ts';
import { prepareSeries } from '../../src/kinetics/prepare-series.ts';
import { simulateSeries } from '../../tests/kinetics/series.ts';

const [countText = '600', seed = 'ratios'] = process.argv.slice(2);
for (let i = 0; i < Number(countText); i += 1) {
  for (const rho of [0, 0.5, 0.9]) {
    for (const count of [30, 120, 400]) {
      const noise = { count, rho, correlatedSd: 0.005, whiteSd: 0.001 };
      const series = prepareSeries(simulateSeries(() => 0, `${seed} ${rho} ${count} ${i}`, noise));
      if (typeof series === 'string') throw new Error(series);
      const grid = noiseGrid(series);
      const candidates = allModels.map((model) => fitCandidate(model, series, grid, 0.01, null));
      const best = candidates
        .filter(({ model }) => model.name !== 'none')
        .reduce((a, b) => (b.deviance < a.deviance ? b : a));
      const [still, moving] = [candidates[0]!, best].map(({ target }) => effectiveCount(series, target.filter));
      const numbers = [still!, moving!, risingRatio(candidates)].map((value) => value.toPrecision(5));
      console.log([rho, count, ...numbers, best.model.name].join(' '));
    }
  }
}
