/** What a column measures; decides which units its header may name. */
export type Quantity = 'temp' | 'rain' | 'solar' | 'wind' | 'humidity';

export type TempUnit = 'C' | 'F' | '0.1C';
export type RainUnit = 'mm' | 'in' | 'cm' | '0.1mm';

type Conversion = (value: number) => number;

const same: Conversion = (value) => value;
const times =
  (factor: number): Conversion =>
  (value) =>
    value * factor;
const per =
  (divisor: number): Conversion =>
  (value) =>
    value / divisor;
const tenth = per(10);
const fromFahrenheit: Conversion = (value) => ((value - 32) * 5) / 9;

/** Each conversion with the spellings of its unit, lower case without signs (`plain`). docs/units.md repeats them. */
const conversions: Readonly<Record<Quantity, readonly (readonly [Conversion, readonly string[]])[]>> = {
  temp: [
    [same, ['c', 'degc', 'celsius', 'degreesc', 'degreescelsius']],
    [fromFahrenheit, ['f', 'degf', 'fahrenheit', 'degreesf', 'degreesfahrenheit']],
    [tenth, ['01c', '01degc', 'tenthsc', 'tenthsofc']],
  ],
  rain: [
    [same, ['mm', 'mmday', 'mmd', 'mmperday', 'millimeters', 'millimetres', 'lm2']],
    [times(25.4), ['in', 'inch', 'inches', 'inday']],
    [times(10), ['cm', 'centimeters', 'centimetres']],
    [tenth, ['01mm', 'tenthsmm', 'tenthsofmm']],
  ],
  solar: [
    [same, ['mjm2', 'mjperm2', 'mjm2day', 'mjm2d', 'mjm2d1']],
    [times(0.0864), ['wm2', 'wperm2']],
    [times(3.6), ['kwhm2', 'kwhm2day', 'kwhperm2']],
  ],
  wind: [
    [same, ['ms', 'mpers', 'ms1']],
    [per(3.6), ['kmh', 'kph', 'kmperh']],
    [times(0.44704), ['mph']],
    [times(1852 / 3600), ['kn', 'kt', 'kts', 'knots']],
  ],
  humidity: [
    [same, ['frac', 'fraction', '01']],
    [per(100), ['%', 'pct', 'percent']],
  ],
};

/** Letters, digits and % of a text in lower case: `TMAX [°C]` and `tmax_c` become the same. @example plain('Solar (MJ/m²)') // 'solarmjm2' */
export const plain = (text: string): string =>
  text
    .toLowerCase()
    .replaceAll('²', '2')
    .replace(/[^a-z0-9%]/g, '');

/**
 * The way from a unit to the library's own (C, mm, MJ/m2, m/s, 0-1); undefined where the unit is not known.
 * @example conversionOf('temp', 'F')?.(212) // 100
 */
export const conversionOf = (quantity: Quantity, unit: string): Conversion | undefined =>
  conversions[quantity].find(([, spellings]) => spellings.includes(plain(unit)))?.[0];

/** Whether values in this unit are whole tenths, in which -99 and 999 are weather and no marks. */
export const isTenths = (unit: string): boolean =>
  conversionOf('temp', unit) === tenth || conversionOf('rain', unit) === tenth;
