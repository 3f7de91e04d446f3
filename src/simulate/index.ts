/**
 * The forward model: from kinetics to the pictures a camera would take, with the truth known. Its pictures are modelled,
 * none is photographed; what it leaves out (refraction by the liquid, demosaicing, dust) is said where it is left out.
 */
export {
  createScenario,
  type KineticsInput,
  type LampInput,
  type ScenarioInput,
  type VialInput,
} from './create-scenario.ts';
export { chromiumMolPerVial, reagentChromiumMolL } from './chemistry.ts';
export { exampleRun, type ExampleRun } from './example-run.ts';
export { extentAt } from './extent-course.ts';
export { simulateFrames } from './frames.ts';
export { layoutOf, liquidRect, type Layout, type VialBox } from './layout.ts';
export { frameTimes } from './light-course.ts';
export { simulateColours, usualColourErrors, type ColourErrors } from './measured-colours.ts';
export type { Kinetics, LampSpec, Scenario, ScenarioVial } from './scenario.ts';
export { readingTimeS, truthOf, type Truth } from './truth.ts';
