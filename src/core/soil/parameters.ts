/**
 * The constants of the soil stage. [P] published, [C] calibrated on observed soil temperature and moisture with the
 * command `whitethread score`, [D] default of judgement. docs/model.md says the same with the sources.
 */
export type SoilParameters = typeof soilParameters;

export const soilParameters = {
  weather: {
    /** Radiation from temperature range; FAO-56 eq. 50 prints 0.16 inland, 0.19 on the coast [C]. */
    solarAdjustment: 0.17,
    /** Dew point below the day's lowest temperature under a clear sky, C [C]. */
    dewDepressionC: 3.67,
    /** Wind at 2 m where none was measured, m/s [C]. */
    windMPerS: 1.715,
  },
  water: {
    /** Rain fills a layer to this share of saturation [D]. */
    fillFrac: 0.95,
    /** Drainage rate of the water above field capacity, 1/d, and its ceiling against conductivity [C]. */
    drainagePerDay: 1.2,
    mostConductivityRatio: 1.5,
    conductivityMmPerH: 16,
    /** Soil evaporation as a multiple of reference evaporation [C]. */
    evaporationFactor: 0.954,
    /** Shares of the demand that fall on the three top layers [C]. */
    evaporationShares: [0.678, 0.302, 0.02],
    /** Share of FC - WP/2 above which the top layer gives all that is asked [C]. */
    readilyEvaporatedFrac: 0.892,
    /** Power of relative wetness for the second and third layer [C], and the share of the wilting point they keep [C]. */
    dryingPower: 3.84,
    keptFrac: 0.7,
    /** Transpiration as a multiple of reference evaporation [C]; nothing at or below 0 C, full from this mean on [C]. */
    transpirationFactor: 1.05,
    fullTranspirationTempC: 16,
    /** Where the roots drink [D]. */
    rootShares: [0.12, 0.22, 0.22, 0.24, 0.15, 0.05],
    /** Relative wetness below which roots get less [C]. */
    stressFrac: 0.8,
    /** Upward flow between neighbours [C]. */
    riseFactor: 0.781,
    risePower: 2.61,
    /** Snow: all of it at or below this daily mean, C, and the melt, mm per degree-day [D]. */
    snowTempC: 0.5,
    meltMmPerCd: 3,
  },
  heat: {
    /** Albedo of dry soil, how much darker wet soil is [C], and that of snow [D]. */
    albedoDry: 0.204,
    albedoWetDrop: 0.05,
    /** Share of the sky that ground under full cover still sees [C]. */
    exposureUnderCover: 0.01,
    /** Share of the latent heat that the ground itself pays [C]. */
    latentShare: 0.9,
    /** Priestley & Taylor 1972 [P]. */
    priestleyTaylor: 1.26,
    /** Roughness length, m; a tenth of it for heat [C]. */
    roughnessM: 0.0259,
    /** How much full cover shelters the ground from the air [C]. */
    shelterFrac: 0.8,
    /** Multiple of Johansen's conductivity [C]. */
    conductivityFactor: 1.64,
  },
  snow: {
    /** Density of new snow and towards which it settles, kg/m3 [D], and how fast, 1/d [P]. */
    newKgPerM3: 100,
    settledKgPerM3: 300,
    settlingPerDay: 0.24,
    /** Depth from which it covers all of the ground, m [P]. */
    closedDepthM: 0.1,
  },
  sod: {
    /** Share of its full cover that grass keeps while dormant [C]. */
    dormantFrac: 0.6,
    /** Mean temperature at which it lies dormant, and from which it is fully green, C [C]. */
    dormantTempC: 2,
    greenTempC: 11,
    /** Memory of that mean, d [C]. */
    memoryDays: 10,
  },
  pass: {
    /** A loosened top conducts less heat, and shields the layers below from drying and from feeding it [D]. */
    conductivityLossFrac: 0.35,
    shieldFrac: 0.5,
    /** The stirred layer itself dries faster [D]. */
    dryingGainFrac: 0.5,
    /** Rain that settles loosened soil to a third, mm [D]. */
    settlingRainMm: 15,
  },
  crust: {
    /** Rain in a day, or in three days, that seals bare soil [D]; no published threshold was found. */
    dayRainMm: 12,
    threeDayRainMm: 20,
    /** Dry days that bake it, and the relative wetness of the top that counts as dry [D]. */
    dryDays: 2,
    dryFrac: 0.6,
    bakingTempMaxC: 20,
    /** Rain that softens it [D]. */
    softeningRainMm: 3,
    /** Ground cover above which the drops are broken [D]. */
    mostCoverFrac: 0.4,
    /** Sealing index at or below which a soil crusts: Huinink 2018 scale, low is prone [P]; the limit [D]. */
    mostSealingIndex: 5.5,
  },
};
