import { comparable, encodeSlope } from './encoded.ts';
import type { PathObservation } from './fit-path.ts';
import { nearestExtent, type EncodedPath, type ExtentPin, type NearestExtent } from './nearest-extent.ts';
import { pathExtents } from './path-physics.ts';
import { shadingCount, vialAt, type VialLayout } from './vial-layout.ts';

/** Normal equations of the path's fit; of the matrix (row by row) the lower triangle. */
export interface PathSystem {
  readonly matrix: Float64Array;
  readonly gradient: Float64Array;
}

export interface NearestPossible {
  readonly nearest: NearestExtent;
  /** What holds the extent beside the colour. */
  readonly pin: ExtentPin | null;
}

/**
 * Nothing can be less than unreacted: a colour that pins nothing is held, softly, from lying before the path's beginning.
 * Without it, racks whose red was cut off at the start (overexposed) put extent 0 at a colour of true extent 0.05.
 */
const unreacted: ExtentPin = { extent: 0, sd: 0.015 };

export function nearestPossible(path: EncodedPath, { colour, sd, pin }: PathObservation): NearestPossible {
  const nearest = nearestExtent(path, colour, sd, pin);
  if (pin !== null || nearest.extent >= 0) return { nearest, pin };
  return { nearest: nearestExtent(path, colour, sd, unreacted), pin: unreacted };
}

/** A point of the search, and what is held against it. */
export interface PathPoint {
  readonly parameters: Float64Array;
  readonly linear: Float64Array;
  readonly byLogPath: Float64Array;
  readonly paths: readonly EncodedPath[];
  readonly nearest: readonly NearestPossible[];
  readonly observations: readonly PathObservation[];
  readonly vials: VialLayout;
  /** Path unknowns that are not held, and the change of the linear colours with each. */
  readonly free: readonly number[];
  readonly derivatives: readonly Float64Array[];
  readonly mean: Float64Array;
  readonly priorPrecision: Float64Array;
  /** Number of path unknowns; those of shading and vials follow. */
  readonly shared: number;
}

/** Linearised at a point, the latent extents eliminated: what lies along the path tells nothing of the path. */
export function linearisePath(point: PathPoint): PathSystem {
  const { parameters: p, linear, byLogPath, vials, free, mean, priorPrecision, shared } = point;
  const size = p.length;
  const own = shared + shadingCount;
  const matrix = new Float64Array(size * size);
  const gradient = new Float64Array(size);
  for (let index = 0; index < size; index += 1) {
    matrix[index * size + index] = priorPrecision[index]!;
    gradient[index] = (mean[index]! - p[index]!) * priorPrecision[index]!;
  }
  // unknowns that one colour depends on: the path's, the shading's, and its vial's brightness and light path
  const common = free.length + shadingCount;
  const count = common + 2;
  const places = new Int32Array(count);
  places.set(free);
  for (let shade = 0; shade < shadingCount; shade += 1) places[free.length + shade] = shared + shade;
  // summed where they lie close together, and put in their places at the end
  const ofAll = new Float64Array(common * common);
  const ofVials = new Float64Array(vials.count * 2 * count);
  for (let high = 0; high < common; high += 1) ofAll[high * common + high] = priorPrecision[places[high]!]!;
  for (let row = 0; row < 2 * vials.count; row += 1) {
    ofVials[row * count + common + (row % 2)] = priorPrecision[own + row]!;
  }
  const table = besides(point.derivatives, linear.length);
  const rows = [new Float64Array(count), new Float64Array(count), new Float64Array(count)] as const;
  const projected = new Float64Array(count);

  point.observations.forEach((one, which) => {
    const path = point.paths[one.vial]!;
    const { nearest, pin } = point.nearest[which]!;
    const { extent, index, share } = nearest;
    const { logBrightness, logPath } = vialAt(p, vials, one.vial);
    const shading = vials.shading[one.vial]!;
    const factor = Math.exp(logBrightness);
    let tangentPrecision = pin === null ? 0 : 1 / pin.sd ** 2;
    let tangentResidual = pin === null ? 0 : (pin.extent - extent) / pin.sd ** 2;
    const residual = [0, 0, 0];
    const tangent = [0, 0, 0];
    const gridStep = pathExtents[index + 1]! - pathExtents[index]!;
    for (let channel = 0; channel < 3; channel += 1) {
      const before = index * 3 + channel;
      const after = before + 3;
      const byPath = byLogPath[before]! * (1 - share) + byLogPath[after]! * share;
      const light = factor * (linear[before]! * (1 - share) + linear[after]! * share + logPath * byPath);
      const predicted = path[before]! * (1 - share) + path[after]! * share;
      const written = one.colour[channel]!;
      // a channel cut off by the camera on the predicted side carries no information
      const slope = comparable(predicted, written) === predicted ? encodeSlope(light) : 0;
      const weight = 1 / one.sd[channel]!;
      const low = comparable(path[before]!, written);
      const high = comparable(path[after]!, written);
      residual[channel] = (written - low - share * (high - low)) * weight;
      tangent[channel] = ((high - low) / gridStep) * weight;
      tangentPrecision += tangent[channel]! ** 2;
      tangentResidual += tangent[channel]! * residual[channel]!;
      const row = rows[channel]!;
      const toBefore = before * free.length;
      const toAfter = after * free.length;
      const scale = slope * factor;
      for (let nth = 0; nth < free.length; nth += 1) {
        row[nth] = scale * (table[toBefore + nth]! * (1 - share) + table[toAfter + nth]! * share) * weight;
      }
      const brightness = slope * light * weight;
      for (let shade = 0; shade < shadingCount; shade += 1) row[free.length + shade] = brightness * shading[shade]!;
      row[count - 2] = brightness;
      row[count - 1] = scale * byPath * weight;
    }
    const inverse = tangentPrecision > 0 ? 1 / tangentPrecision : 0;
    const [t0, t1, t2] = [tangent[0]!, tangent[1]!, tangent[2]!];
    const [r0, r1, r2] = [residual[0]!, residual[1]!, residual[2]!];
    const [row0, row1, row2] = rows;
    for (let nth = 0; nth < count; nth += 1) projected[nth] = t0 * row0[nth]! + t1 * row1[nth]! + t2 * row2[nth]!;
    places[count - 2] = own + 2 * one.vial;
    places[count - 1] = own + 2 * one.vial + 1;
    for (let high = 0; high < count; high += 1) {
      const j0 = row0[high]!;
      const j1 = row1[high]!;
      const j2 = row2[high]!;
      const along = projected[high]! * inverse;
      gradient[places[high]!]! += j0 * r0 + j1 * r1 + j2 * r2 - along * tangentResidual;
      const into = high < common ? ofAll : ofVials;
      const start = high < common ? high * common : (2 * one.vial + high - common) * count;
      addRow(into, start, high, rows, projected, j0, j1, j2, along);
    }
  });
  for (let high = 0; high < common; high += 1) {
    const start = places[high]! * size;
    for (let low = 0; low <= high; low += 1) matrix[start + places[low]!] = ofAll[high * common + low]!;
  }
  for (let row = 0; row < 2 * vials.count; row += 1) {
    const start = (own + row) * size;
    for (let low = 0; low < common; low += 1) matrix[start + places[low]!] = ofVials[row * count + low]!;
    for (let low = 0; low <= row % 2; low += 1) {
      matrix[start + own + row - (row % 2) + low] = ofVials[row * count + common + low]!;
    }
  }
  return { matrix, gradient };
}

/** Adds one colour's part to a row of the matrix, up to the diagonal. A function by itself: engines compile a small loop early. */
function addRow(
  into: Float64Array,
  start: number,
  last: number,
  [row0, row1, row2]: readonly [Float64Array, Float64Array, Float64Array],
  projected: Float64Array,
  j0: number,
  j1: number,
  j2: number,
  along: number,
): void {
  for (let low = 0; low <= last; low += 1) {
    into[start + low]! += j0 * row0[low]! + j1 * row1[low]! + j2 * row2[low]! - along * projected[low]!;
  }
}

/** The columns' values side by side: all derivatives of one colour after another. */
function besides(columns: readonly Float64Array[], length: number): Float64Array {
  const count = columns.length;
  const table = new Float64Array(length * count);
  columns.forEach((column, nth) => {
    for (let place = 0; place < length; place += 1) table[place * count + nth] = column[place]!;
  });
  return table;
}
