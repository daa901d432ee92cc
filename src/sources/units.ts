import type { GivenUnit } from '../core/weather/asGiven.ts';

/** What a column measures; decides which units its header may name. */
export type Quantity = 'temp' | 'rain' | 'solar' | 'wind' | 'humidity';

export type TempUnit = 'C' | 'F' | '0.1C';
export type RainUnit = 'mm' | 'in' | 'cm' | '0.1mm';

/** A unit: its name, and the ways to ours (C, mm, MJ/m2, m/s, 0-1) and back. */
export type Unit = { readonly name: string; readonly toOurs: (value: number) => number } & GivenUnit;

const same = (name: string): Unit => ({ name, toOurs: (value) => value, fromOurs: (value) => value });
const times = (name: string, factor: number): Unit => ({
  name,
  toOurs: (value) => value * factor,
  fromOurs: (value) => value / factor,
});
const per = (name: string, divisor: number): Unit => ({
  name,
  toOurs: (value) => value / divisor,
  fromOurs: (value) => value * divisor,
});
const fahrenheit: Unit = {
  name: 'F',
  toOurs: (value) => ((value - 32) * 5) / 9,
  fromOurs: (value) => 1.8 * value + 32,
};

/** What no unit belongs to stays as it is. */
export const NO_UNIT = same('');

/** Each unit with its spellings, lower case without signs (`plain`). docs/units.md repeats them. */
const units: Readonly<Record<Quantity, readonly (readonly [Unit, readonly string[]])[]>> = {
  temp: [
    [same('C'), ['c', 'degc', 'celsius', 'degreesc', 'degreescelsius']],
    [fahrenheit, ['f', 'degf', 'fahrenheit', 'degreesf', 'degreesfahrenheit']],
    [per('tenths of C', 10), ['01c', '01degc', 'tenthsc', 'tenthsofc']],
  ],
  rain: [
    [same('mm'), ['mm', 'mmday', 'mmd', 'mmperday', 'millimeters', 'millimetres', 'lm2']],
    [times('in', 25.4), ['in', 'inch', 'inches', 'inday']],
    [times('cm', 10), ['cm', 'centimeters', 'centimetres']],
    [per('tenths of mm', 10), ['01mm', 'tenthsmm', 'tenthsofmm']],
  ],
  solar: [
    [same('MJ/m2'), ['mjm2', 'mjperm2', 'mjm2day', 'mjm2d', 'mjm2d1']],
    [times('W/m2', 0.0864), ['wm2', 'wperm2']],
    [times('kWh/m2', 3.6), ['kwhm2', 'kwhm2day', 'kwhperm2']],
  ],
  wind: [
    [same('m/s'), ['ms', 'mpers', 'ms1']],
    [per('km/h', 3.6), ['kmh', 'kph', 'kmperh']],
    [times('mph', 0.44704), ['mph']],
    [times('kn', 1852 / 3600), ['kn', 'kt', 'kts', 'knots']],
  ],
  humidity: [
    [same(''), ['frac', 'fraction', '01']],
    [per('%', 100), ['%', 'pct', 'percent']],
  ],
};

/** Letters, digits and % of a text in lower case: `TMAX [°C]` and `tmax_c` become the same. @example plain('Solar (MJ/m²)') // 'solarmjm2' */
export const plain = (text: string): string =>
  text
    .toLowerCase()
    .replaceAll('²', '2')
    .replace(/[^a-z0-9%]/g, '');

/**
 * A unit by one of its spellings; undefined where it is not known.
 * @example unitOf('temp', 'F')?.toOurs(212) // 100
 */
export const unitOf = (quantity: Quantity, spelling: string): Unit | undefined =>
  units[quantity].find(([, spellings]) => spellings.includes(plain(spelling)))?.[0];

/** Whether values in this unit are whole tenths, in which -99 and 999 are weather and no marks. */
export const isTenths = ({ name }: Unit): boolean => name.startsWith('tenths');
