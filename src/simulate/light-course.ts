import { createRandom } from '../numeric/random.ts';
import type { Scenario } from './scenario.ts';

/** Run clock of every frame, seconds. */
export function frameTimes(scenario: Scenario): readonly number[] {
  return Array.from({ length: scenario.frameCount }, (_, index) => index * scenario.intervalS);
}

/** Multipliers of linear R, G, B in every frame: lamp drift, flicker, white balance and its steps. */
export function lightCourse(scenario: Scenario): readonly (readonly [number, number, number])[] {
  const random = createRandom(scenario.seed).stream('light');
  const durationS = Math.max(scenario.intervalS, (scenario.frameCount - 1) * scenario.intervalS);
  const { drift, colourDrift, flicker } = scenario.light;
  return frameTimes(scenario).map((timeS) => {
    const share = timeS / durationS;
    const level = 1 + drift * (share + 0.3 * Math.sin(2 * Math.PI * share)) + flicker * random.normal();
    const tint = (colourDrift * share) / 2;
    const gains = [1 + tint, 1, 1 - tint].map(
      (value, channel) => value * level * scenario.camera.whiteBalance[channel]!,
    );
    for (const step of scenario.disturbances.gainSteps) {
      if (timeS >= step.atRunS)
        for (let channel = 0; channel < 3; channel += 1) gains[channel]! *= step.gains[channel]!;
    }
    return gains as unknown as readonly [number, number, number];
  });
}
