import { describe, expect, test } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import type { FieldInput, Outlook } from '../../../src/core/outlook/schema.ts';
import { windUnknown } from '../../../src/core/outlook/windNotes.ts';
import { column, fineWeather, hoe } from '../../support/windows.ts';
import { fieldInput, outlookOf } from './fields.ts';

const noted = ({ notes }: Pick<Outlook, 'notes'>) => notes.find(({ code }) => code === 'wind-unknown')?.text;

describe('wind that is not known', () => {
  const flame: Partial<FieldInput> = { implements: [{ id: 'flame-broadcast' }, { id: 'rotary-hoe' }] };
  const { weather } = fieldInput();
  const days = weather.tempMaxC.length;

  test('is told for a flame on each day that is told open, with the limit in both units', () => {
    const answer = outlookOf(flame);
    const open = answer.windowDays.filter((day) => day.implement === 'flame-broadcast' && day.open);
    expect(open.length).toBeGreaterThan(0);
    expect(noted(answer)).toContain(`flame-broadcast, at most 4.5 m/s (10 mph), on ${open[0]?.date}`);
    expect(noted(answer)).toContain('look at the wind before you light');
    expect(noted(answer)).not.toContain('rotary-hoe');
  });

  test('is nothing to tell where it is measured, or where no tool minds it', () => {
    const calm = { ...weather, windMPerS: new Array<number>(days).fill(1) };
    expect(noted(outlookOf({ ...flame, weather: calm }))).toBeUndefined();
    expect(noted(outlookOf())).toBeUndefined();
  });
});

test('days in a row are one span, and closed days and days with wind are left out', () => {
  const windMPerS = column(Number.NaN).fill(2, 2, 3);
  const weather = fineWeather({ windMPerS, startDay: dayNumber('2026-06-10') });
  const tools = [hoe({ mostWindMPerS: 8 })];
  const on = (day: number, open = true) => ({ date: `2026-06-${day}`, implement: 'hoe', open });
  const text = (...told: ReturnType<typeof on>[]) => windUnknown({ weather, implements: tools }, told)[0]?.text;
  expect(text(on(10), on(11), on(12), on(13))).toContain(
    'hoe, at most 8 m/s (18 mph), on 2026-06-10 to 2026-06-11, 2026-06-13. Unknown wind closes no window: look at the wind before you go.',
  );
  expect(text(on(10, false), on(12))).toBeUndefined();
});
