/**
 * Work rate, ha/h: width x speed x efficiency / 10.
 * Source: the field capacity equation as Kentucky AEN-73 prints it, width (ft) x speed (mph) x efficiency / 8.25 in ac/h.
 * @param fieldEfficiencyFrac share of the time in the field that is spent working, 0 to 1
 * @example rateHaPerH(4.572, 16.09344, 0.8) // 5.89
 */
export const rateHaPerH = (widthM: number, speedKmh: number, fieldEfficiencyFrac: number): number =>
  (widthM * speedKmh * fieldEfficiencyFrac) / 10;
