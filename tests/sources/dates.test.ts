import { describe, expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { dateDay, datesDays } from '../../src/sources/dates.ts';

const read = (texts: string[], order?: 'mdy' | 'dmy') =>
  datesDays(
    texts,
    texts.map((_, i) => i + 2),
    order,
  );
const daysOf = (texts: string[], order?: 'mdy' | 'dmy') => read(texts, order).days.map(isoDate);

describe('dates of a file', () => {
  test.each([
    '2020-02-29',
    '20200229',
    '2020/02/29',
    '2020-2-29',
    '2020-060',
    '2020-02-29T00:00:00Z',
    '2020-02-29 00:00',
  ])('%s is 29 February 2020', (text) => {
    expect(daysOf([text])).toEqual(['2020-02-29']);
  });

  test('month first, told by one row of the file', () => {
    expect(daysOf(['03/04/2020', '03/13/2020'])).toEqual(['2020-03-04', '2020-03-13']);
  });

  test('day first, told by one row of the file', () => {
    expect(daysOf(['03.04.2020', '13.04.2020'])).toEqual(['2020-04-03', '2020-04-13']);
    expect(daysOf(['3/4/2020', '13/4/2020'])).toEqual(['2020-04-03', '2020-04-13']);
  });

  test('when no row tells, nothing is guessed', () => {
    const { problems } = read(['03/04/2020', '04/04/2020']);
    expect(problems).toMatchObject([{ code: 'weather-date', where: 'column of dates' }]);
    expect(problems[0]?.advice).toContain('YYYY-MM-DD');
    expect(read(['03.04.2020', '04.04.2020']).problems).toHaveLength(1);
  });

  test('when the caller tells, it is read so', () => {
    expect(daysOf(['03/04/2020'], 'mdy')).toEqual(['2020-03-04']);
    expect(daysOf(['03/04/2020'], 'dmy')).toEqual(['2020-04-03']);
  });

  test.each([
    ['W8 year 1850', '1850-06-01'],
    ['W8 year 20250', '20250-06-01'],
    ['no day of the calendar', '2021-02-29'],
    ['month 13', '2021-13-01'],
    ['day 0', '2021-06-00'],
    ['two digits of a year', '01/06/21'],
    ['a time of day: hourly rows are no daily weather', '2021-06-01T13:00'],
    ['seven digits', '2021061'],
    ['nothing', ''],
    ['words', 'June 1st'],
  ])('%s: an error with its line', (_, text) => {
    expect(read(['2021-05-31', text]).problems).toMatchObject([{ code: 'weather-date', where: 'line 3' }]);
  });

  test('one way of writing for the whole file', () => {
    expect(read(['2021-05-31', '06/01/2021']).problems).toMatchObject([{ where: 'line 3' }]);
    expect(read(['05/31/2021', '06/32/2021', '06/01/2021']).problems).toMatchObject([{ where: 'line 3' }]);
  });

  test('the example of the doc comment', () => {
    expect(dateDay('31.12.1970', 'dmy')).toBe(364);
    expect(dateDay('2020-366', 'ymd')).toBe(dayNumber('2020-12-31'));
    expect(dateDay('2019-366', 'ymd')).toBeNaN();
    expect(dateDay('words', 'mdy')).toBeNaN();
  });
});
