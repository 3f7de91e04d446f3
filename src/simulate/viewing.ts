import {
  blackbody,
  cameraMatrix,
  cameraSensitivities,
  daylightD65,
  viewingWeights,
  whiteLed,
  type Lamp,
  type ViewingWeights,
} from '../spectra/index.ts';
import type { LampSpec, Scenario } from './scenario.ts';

/** Weights that turn a transmittance into this scenario's linear RGB (white = 1, before exposure and white balance). */
export function scenarioWeights(scenario: Scenario): ViewingWeights {
  const lamp = lampOf(scenario.lamp);
  const sensitivities = cameraSensitivities(scenario.camera.shape);
  const wanted = scenario.camera.matrix;
  const matrix =
    wanted === 'lamp'
      ? cameraMatrix(lamp, sensitivities)
      : wanted === 'daylight'
        ? cameraMatrix(daylightD65(), sensitivities)
        : wanted;
  return viewingWeights({ lamp, sensitivities, matrix });
}

function lampOf(spec: LampSpec): Lamp {
  switch (spec.kind) {
    case 'led':
      return whiteLed(spec);
    case 'blackbody':
      return blackbody(spec.kelvin);
    case 'daylight':
      return daylightD65();
  }
}
