import { type Hazard, hazards, type Implement } from './schema.ts';

export type Caution = { readonly hazard: Hazard; readonly text: string };

/**
 * What to mind with each danger: general words, no advice on law. Sources: pto, OSHA 29 CFR 1928.57(a)(6); openFlame,
 * 7 CFR 205.206(c)(5) and public open-burning advice (nothing above 20 mph; the gas code and 10 mph are usual practice);
 * all others are common practice, no source.
 */
const texts: Readonly<Record<Hazard, string>> = {
  pto: 'Keep guards on. Before you clear or adjust anything, stop the engine, disconnect the power and wait until all motion has stopped. No extra riders.',
  rollOver: 'Use the roll bar and the seat belt. Do not turn at speed with a wide implement.',
  road: 'Fold and lock the implement, mind overhead lines, show lights and the slow-vehicle sign. Stay off the road at dusk and under a low sun. Local road rules decide.',
  heat: 'Afternoon passes are hot work: water, shade, breaks, and someone who watches. The heat rules of your state or country decide.',
  dust: 'Close the cab or wear a mask in dust.',
  thrownStones:
    'Spinning wheels and tines throw stones and broken parts: keep people and animals well away, and look at the wear before you start.',
  openFlame:
    'Ask first whether a burn ban or fire warning holds, and tell the fire department. Not in wind above 16 km/h (10 mph), not in dry residue. Test for leaks, carry water and extinguishers, come back after half an hour to look for smoulder. The gas code, local rules, your licence and the manufacturer decide; your certifier must have flame in the plan.',
  highVoltage:
    "High voltage: nobody outside the seat while it runs, no bystanders, no wet plants, wires or animals within reach, no dry residue. Only trained people, by the manufacturer's manual and local rules; ask your certifier first.",
  youngCrew:
    'Young workers may not drive or ride on machines in many places: the child-labour rules where you are decide.',
};

/** The cautions of all dangers that the implements bring, each once, in the order of `hazards`. */
export const cautions = (implements_: readonly Pick<Implement, 'hazards'>[]): Caution[] =>
  hazards
    .filter((hazard) => implements_.some((tool) => tool.hazards.includes(hazard)))
    .map((hazard) => ({ hazard, text: texts[hazard] }));
