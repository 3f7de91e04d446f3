/** A table of molar absorptivities on a wavelength grid; decadic, L/(mol cm). */
export interface Spectrum {
  readonly nm: readonly number[];
  readonly epsilon: readonly number[];
}

/** One coloured species of a reaction; its uncertainty says how far published and real solutions may differ. */
export interface Species {
  readonly id: string;
  readonly name: string;
  /** Which end of the reaction it belongs to. */
  readonly side: 'start' | 'end';
  /** Colour-carrying atoms per molecule in the unit of `spectrum`, e.g. 1 when absorptivity is per Cr. */
  readonly spectrum: Spectrum;
  /** A stretch between two published points where the table is interpolated only; left out: none. */
  readonly interpolated?: Interpolated | undefined;
  readonly source: string;
}

/** How the real spectrum may lie above the table between two wavelengths: by a factor whose log is highest half-way and 0 at both ends. */
export interface Interpolated {
  readonly fromNm: number;
  readonly toNm: number;
  /** The log half-way: mean and standard deviation of what is believed. */
  readonly log: number;
  readonly logSd: number;
}

/** A colour reaction as described by a file of shared/reactions. */
export interface Reaction {
  readonly name: string;
  readonly title: string;
  /** `null`: no spectra are known; the path runs between the colours of the pins. */
  readonly species: readonly Species[] | null;
  /** Electrons taken up by one mole of the coloured reagent atom (3 for Cr(VI) to Cr(III)); `null` unknown. */
  readonly electronsPerReagent: number | null;
  readonly startColour: string;
  readonly endColour: string;
  /** Usual cautions, each a sentence, deferring to the SDS. */
  readonly cautions: readonly string[];
}
