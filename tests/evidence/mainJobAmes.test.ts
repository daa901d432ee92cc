import { expect, it } from 'vitest';
import { outlook } from '../../src/core/outlook/outlook.ts';
import type { FieldInput } from '../../src/core/outlook/schema.ts';
import { allImplements, allSpecies, catalogue } from '../core/outlook/fields.ts';
import { expectWhole } from '../core/outlook/lawful.ts';
import { ames, amesFile, amesSite, describeWith } from './evidence.ts';

describeWith([amesFile], 'the whole outlook on 31 years of Ames in one call', () => {
  const { weather } = ames();
  const field = (today: string, changes: Partial<FieldInput>): FieldInput => ({
    site: amesSite,
    soil: { texture: 'silt-loam' },
    weather: { ...weather, forecastFrom: today },
    weeds: allSpecies,
    implements: allImplements,
    today,
    ...changes,
  });

  it.each([
    ['bare ground, last year', '2018-06-01', {}],
    [
      'corn on silty clay loam',
      '2018-06-01',
      { planting: { crop: 'field-corn', date: '2018-05-05' }, soil: { texture: 'silty-clay-loam' } },
    ],
    [
      'soybean in the wet year 1993',
      '1993-07-01',
      { planting: { crop: 'soybean', date: '1993-05-20' }, soil: { texture: 'clay', drainage: 'poor' } },
    ],
    [
      'wheat over a winter',
      '2012-04-01',
      { planting: { crop: 'winter-wheat', date: '2011-10-01' }, soil: { texture: 'sandy-loam' } },
    ],
    ['the first spring', '1988-05-15', { passes: [{ date: '1988-05-10', implement: 'rotary-hoe' }] }],
  ] satisfies [string, string, Partial<FieldInput>][])('%s: no gap, no NaN, laws kept', (_, today, changes) => {
    const answer = outlook(field(today, changes), catalogue);
    expectWhole(answer);
    expect(answer.soil.weatherOrigin).not.toContain('climatology');
    expect(answer.windowDays).toHaveLength(15 * allImplements.length);
  });
});
