/**
 * Standard atomic weights, g/mol: IUPAC abridged values (CIAAW, "Standard Atomic Weights 2021",
 * Prohaska et al., Pure Appl. Chem. 94:573, 2022), written from memory and checked against the tabulated molar masses
 * of the three dichromates in the tests. Only elements that reagent salts are made of.
 */
export const atomicWeights: Readonly<Record<string, number>> = {
  H: 1.008,
  Li: 6.94,
  C: 12.011,
  N: 14.007,
  O: 15.999,
  Na: 22.99,
  Mg: 24.305,
  S: 32.06,
  Cl: 35.45,
  K: 39.098,
  Ca: 40.078,
  Cr: 51.996,
  Mn: 54.938,
};
