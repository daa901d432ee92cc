import { expect, test } from 'vitest';
import {
  airCover,
  bestPass,
  cropDays,
  type DayNumber,
  dayNumber,
  dryingOn,
  fieldRequest,
  type Implement,
  outlook,
  passConditions,
  sharedCover,
  soilConstants,
  soilDays,
  weatherDays,
  weedDays,
  windowDays,
} from '../../../src/index.ts';
import { catalogue, fieldInput } from './fields.ts';

const named = <T extends { readonly id: string }>(all: readonly T[], id: string): T =>
  all.find((one) => one.id === id) as T;

test('the stages called one by one, as the face exports them, give the windows of the outlook', () => {
  const input = fieldInput({
    planting: { crop: 'soybean', date: '2024-05-06' },
    weeds: [{ species: 'waterhemp', relativeDensity: 3 }, { species: 'velvetleaf' }],
    seedbedDates: [],
    passes: [
      { date: '2024-05-06', implement: 'seedbed-cultivator', depthCm: 6 },
      { date: '2024-05-11', implement: 'rotary-hoe' },
    ],
    implements: [{ id: 'tine-weeder' }, { id: 'rotary-hoe', widthM: 9.1 }],
  });
  const { site, soil: ground, planting, horizonDays, ...field } = fieldRequest.parse(input);
  if (planting === undefined) throw new Error('no planting');
  const today = dayNumber(field.today);
  const crop = named(catalogue.crops, planting.crop);
  const made = field.passes.map(({ date, implement, depthCm }) => {
    const tool: Implement = named(catalogue.implements, implement);
    return { day: dayNumber(date), implement: tool, depthCm: depthCm ?? tool.workingDepthCm.usual };
  });

  const { series: weather } = weatherDays(field.weather, site, today);
  const cover = sharedCover([airCover(crop, planting, weather)], weather.days);
  const stirred = made.map(({ day, depthCm, implement }) => ({
    day,
    depthCm,
    groundFrac: implement.loosensGroundFrac,
  }));
  const soil = soilDays(weather, site, ground, cover, stirred);
  const constants = soilConstants(ground);
  const crops = [{ crop, days: cropDays(crop, planting, soil, weather) }];
  const species = field.weeds.map(({ species: id, relativeDensity }) => ({
    species: named(catalogue.species, id),
    relativeDensity,
  }));
  const conditionsOn = (day: DayNumber) => {
    const index = day - weather.startDay;
    return passConditions(weather, soil, constants, ground.residueCoverFrac, index, dryingOn(site, weather, index));
  };
  const struck = made.map(({ day, implement }) => ({
    day,
    kill: implement.kill,
    conditions: conditionsOn(day),
    stirsGroundFrac: implement.loosensGroundFrac,
  }));
  const kinds = species.map((one) => one.species);
  const days = windowDays({
    site,
    weather,
    soil,
    constants,
    residueCoverFrac: ground.residueCoverFrac,
    weeds: weedDays(soil, weather, kinds, struck, false),
    species,
    crops,
    implements: field.implements.map((owned) => ({ ...named(catalogue.implements, owned.id), ...owned }) as Implement),
    passes: made,
    today,
    lastDay: today + horizonDays,
  });

  const answer = outlook(input, catalogue);
  expect(days).toEqual(answer.windowDays);
  expect(bestPass(days)).toEqual(answer.best);
  expect(days.some(({ open }) => open)).toBe(true);
});
