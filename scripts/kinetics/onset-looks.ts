/**
 * Highest standing of a trailing mean over all looks of the onset test in still noise, against the limit that treats
 * every look as independent: the number of looks that would give the same upper points (src/kinetics/onset.ts).
 * `node --import tsx scripts/kinetics/onset-looks.ts [COUNT]`
 */
import { normalCdf } from '../../src/numeric/normal.ts';
import { createRandom } from '../../src/numeric/random.ts';

const count = Number(process.argv[2] ?? '4000');
const windows = [1, 2, 4, 8, 16];
for (const rho of [0, 0.5, 0.9, 0.97]) {
  for (const frames of [30, 120, 400]) {
    const random = createRandom(`looks ${rho} ${frames}`);
    // Exact variance of a mean of successive values of the process.
    const sds = windows.map((length) => {
      let sum = 0;
      for (let a = 0; a < length; a += 1) for (let b = 0; b < length; b += 1) sum += rho ** Math.abs(a - b);
      return Math.sqrt(sum) / length;
    });
    const highest = Array.from({ length: count }, () => {
      const sums = new Float64Array(frames + 1);
      let state = random.normal();
      let best = -Infinity;
      for (let i = 0; i < frames; i += 1) {
        if (i > 0) state = rho * state + Math.sqrt(1 - rho * rho) * random.normal();
        sums[i + 1] = sums[i]! + state;
        windows.forEach((length, w) => {
          if (i + 1 >= length) best = Math.max(best, (sums[i + 1]! - sums[i + 1 - length]!) / length / sds[w]!);
        });
      }
      return best;
    }).sort((a, b) => a - b);
    const looks = [0.05, 0.01, 0.004].map((alpha) => {
      const limit = highest[Math.floor((1 - alpha) * count)]!;
      return `${alpha}: ${limit.toFixed(2)} (${(alpha / normalCdf(-limit) / frames).toFixed(2)} a frame)`;
    });
    console.log(`rho ${rho} frames ${frames}: ${looks.join(', ')}`);
  }
}
