import { join } from 'node:path';
import { expect, test } from 'vitest';
import { farmFromFile, stationOf } from '../../src/service/farm.ts';
import { asForecastFrom } from '../../src/service/joined.ts';
import { folderWith, springCsv } from '../support/files.ts';

const weather = { startDate: '2026-05-01', tempMaxC: [20, 21, 22], tempMinC: [10, 11, 12], rainMm: [0, 0, 0] };

test('days from today on are forecast, unless the file says from when', () => {
  expect(asForecastFrom(weather, '2026-05-02').forecastFrom).toBe('2026-05-02');
  expect(asForecastFrom(weather, '2026-05-03').forecastFrom).toBe('2026-05-03');
  expect(asForecastFrom(weather, '2026-05-04').forecastFrom).toBeUndefined();
  expect(asForecastFrom(weather, '2026-05-01').forecastFrom).toBe('2026-05-01');
  expect(asForecastFrom(weather, '2026-04-30').forecastFrom).toBeUndefined();
  expect(asForecastFrom({ ...weather, forecastFrom: '2026-05-03' }, '2026-05-02').forecastFrom).toBe('2026-05-03');
});

const farm = {
  name: 'Two Gates',
  latitudeDeg: 42,
  longitudeDeg: -93.8,
  timeZone: 'America/Chicago',
  weather: 'days.csv',
  implements: [{ id: 'rotary-hoe' }],
  fields: [
    { name: 'North', soil: { texture: 'loam' }, weeds: [{ species: 'waterhemp' }] },
    { name: 'South', soil: { texture: 'clay' }, weeds: [{ species: 'waterhemp' }], implements: [{ id: 'hand-crew' }] },
  ],
};
const write = (content: unknown) =>
  join(folderWith({ 'farm.json': JSON.stringify(content), 'days.csv': springCsv(140) }), 'farm.json');
const today = () => '2026-05-15';

test('the weather file is looked for beside the farm file, and a field’s own implements go first', () => {
  const read = farmFromFile(write(farm), today);
  expect(read.invented).toBe(false);
  expect(read.fields.map(({ implements: owned }) => owned)).toEqual([[{ id: 'rotary-hoe' }], [{ id: 'hand-crew' }]]);
  expect(read.fields[0]?.weather.tempMaxC).toHaveLength(140);
  expect(read.fields[0]?.site).toMatchObject({ latitudeDeg: 42, elevationM: 200 });
});

test('weather may stand in the farm file itself', () => {
  expect(farmFromFile(write({ ...farm, weather }), today).fields[0]?.weather.startDate).toBe('2026-05-01');
});

test('every problem of a farm file is named with its place', () => {
  const wrong = { ...farm, latitudeDeg: 95, fields: [{ ...farm.fields[0], soil: { texture: 'mud' } }] };
  expect(() => farmFromFile(write(wrong), today)).toThrow(
    /latitudeDeg: given 95[\s\S]*fields\[0\]\.soil\.texture: given "mud"/,
  );
  expect(() => farmFromFile(write({ ...farm, crops: [] }), today)).toThrow(/crops/);
  const weeds = [{ species: 'waterhemp' }, { species: 'waterhemp' }];
  const twice = { ...farm, fields: [{ ...farm.fields[0], weeds }] };
  expect(() => farmFromFile(write(twice), today)).toThrow(/fields\[0\]\.weeds\[1\]\.species: given "waterhemp"/);
});

test('a missing file and broken JSON have their own answers', () => {
  expect(() => farmFromFile('nowhere.json', today)).toThrow(/nowhere\.json: given ENOENT/);
  expect(() => farmFromFile(join(folderWith({ 'farm.json': '{ "name": ' }), 'farm.json'), today)).toThrow(
    /allowed JSON/,
  );
  expect(() => farmFromFile(write({ ...farm, weather: 'gone.csv' }), today)).toThrow(/gone\.csv/);
});

test('of several stations one must be named', () => {
  const file = (station: string) => ({
    station,
    latitudeDeg: null,
    longitudeDeg: null,
    weather,
    observed: {},
    findings: [],
  });
  const files = [file('Ames'), file('Boone')];
  expect(stationOf(files, 'Boone', 'days.csv').station).toBe('Boone');
  expect(() => stationOf(files, undefined, 'days.csv')).toThrow(/allowed Ames, Boone/);
  expect(() => stationOf(files, 'Nevada', 'days.csv')).toThrow(/given Nevada; allowed Ames, Boone/);
});
