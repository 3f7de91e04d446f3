/**
 * Usual cautions; the supplier's safety data sheet, local rules and licensed practice go before them. Facts: OSHA 29 CFR
 * 1910.1026 (5 ug/m3 Cr(VI)), REACH Annex XIV; sulfuric acid by common practice.
 */
export const cautions: readonly string[] = [
  'Read the safety data sheets of the dichromate, the acid and every sample first; they and your local rules go before this sheet.',
  'Cr(VI) causes cancer and sensitises: weigh it in a hood, never as dust in the open; gloves, goggles, lab coat.',
  'Sulfuric acid burns: acid into water, slowly, cooled; never water into acid.',
  'Alcohols and esters burn: no flame; add the reagent drop by drop, the mixture warms.',
];

/** No treatment recipe on purpose: reduction on the bench sets free toxic gas and heat in untrained hands. */
export const wasteNote =
  'Waste: collect every vial, tip and rinse in the labelled Cr(VI) container for licensed disposal. Treat nothing on the bench; nothing goes down the drain.';

export const cameraChecklist: readonly string[] = [
  'Manual exposure, focus and white balance; vials bright, no channel at its limit',
  'White and grey patch in the frame, in the same light as the vials',
  'Steady warm-white LED, daylight shut out: light reduces Cr(VI) in the presence of alcohols',
  'One negative wrapped in foil, uncovered at the end: shows what the light alone did',
  'Mains power, room on the card; stills, or MKV rather than MP4: a power cut spoils an MP4',
  'Start the camera before the first dose; nobody moves rack, lamp or camera',
];
