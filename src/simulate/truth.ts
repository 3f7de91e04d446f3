import { mean } from '../numeric/mean.ts';
import type { Kinetics, Scenario } from './scenario.ts';
import type { Expectation, Role } from '../model/run.ts';
import { frameTimes } from './light-course.ts';
import { vialCourses, type VialCourse } from './vial-course.ts';

/** `truth.json`: what really happened in a simulated run. Extents are per frame; `null` before dosing. */
export interface Truth {
  readonly schema: 'vialapse/truth@1';
  readonly name: string;
  readonly seed: string;
  readonly read_at_s: number;
  readonly margin: number;
  readonly time_run_s: readonly number[];
  readonly vials: readonly {
    readonly region: string;
    readonly label: string;
    readonly role: Role;
    readonly group: string | null;
    readonly added_run_s: number;
    readonly kinetics: Kinetics;
    /** Rates of this vial are the stated ones times this. */
    readonly rate_factor: number;
    readonly brightness_factor: number;
    readonly path_factor: number;
    readonly extent_at_read: number;
    readonly extent: readonly (number | null)[];
  }[];
  readonly samples: readonly {
    readonly group: string | null;
    readonly label: string;
    readonly regions: readonly string[];
    readonly expect: Expectation | null;
    /** Mean extent less the mean of the negative references, at the reading time; `null` without negatives. */
    readonly extent_difference: number | null;
    /** What a faultless analysis would say: `reacted` above the margin, `resisted` below. */
    readonly outcome: 'reacted' | 'resisted' | null;
  }[];
}

export function truthOf(scenario: Scenario): Truth {
  const courses = vialCourses(scenario);
  const times = frameTimes(scenario);
  const readAtS = readingTimeS(scenario);
  const atRead = (course: VialCourse): number => course.extentAt(course.vial.addedRunS + readAtS);
  const negatives = courses.filter(({ vial }) => vial.role === 'negative').map(atRead);
  const negative = negatives.length === 0 ? null : mean(negatives);
  return {
    schema: 'vialapse/truth@1',
    name: scenario.name,
    seed: scenario.seed,
    read_at_s: readAtS,
    margin: scenario.reading.margin,
    time_run_s: times,
    vials: courses.map((course) => ({
      region: course.region,
      label: course.vial.label,
      role: course.vial.role,
      group: course.vial.group,
      added_run_s: course.vial.addedRunS,
      kinetics: course.vial.kinetics,
      rate_factor: course.rate,
      brightness_factor: course.brightness,
      path_factor: course.path,
      extent_at_read: atRead(course),
      extent: times.map((runS) => (runS < course.vial.addedRunS ? null : course.extentAt(runS))),
    })),
    samples: groupSamples(courses).map((group) => {
      const difference = negative === null ? null : mean(group.map(atRead)) - negative;
      const first = group[0]!.vial;
      return {
        group: first.group,
        label: first.label,
        regions: group.map(({ region }) => region),
        expect: first.expect,
        extent_difference: difference,
        outcome: difference === null ? null : difference > scenario.reading.margin ? 'reacted' : 'resisted',
      };
    }),
  };
}

/** The declared reading time, or else the longest time since dosing that every vial reaches. */
export function readingTimeS(scenario: Scenario): number {
  const last = (scenario.frameCount - 1) * scenario.intervalS;
  return scenario.reading.readAtS ?? last - Math.max(...scenario.vials.map(({ addedRunS }) => addedRunS));
}

/** Sample vials joined by their group, in order of first appearance; those without a group stand alone. */
function groupSamples(courses: readonly VialCourse[]): readonly (readonly VialCourse[])[] {
  const groups = new Map<string, VialCourse[]>();
  for (const course of courses) {
    if (course.vial.role !== 'sample') continue;
    const key = course.vial.group === null ? `alone/${course.region}` : `group/${course.vial.group}`;
    const known = groups.get(key);
    if (known === undefined) groups.set(key, [course]);
    else known.push(course);
  }
  return [...groups.values()];
}
