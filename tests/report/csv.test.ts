import { expect, test } from 'vitest';
import { csvInUnits, csvText } from '../../src/report/csv.ts';

test.each([
  ['=HYPERLINK("x")', '"\'=HYPERLINK(""x"")"'],
  ['+1', "'+1"],
  ['-1', "'-1"],
  ['@SUM(A1)', "'@SUM(A1)"],
  [' =1+1', "' =1+1"],
  ['\t=1', "'\t=1"],
  ['\uff1d1', "'\uff1d1"],
  ['dry = good', 'dry = good'],
  ['North-40', 'North-40'],
])('the text %j is %j, which no spreadsheet computes', (note, cell) => {
  expect(csvText([{ note }])).toBe(`note\n${cell}`);
});

test('numbers stay numbers, negative ones too, in either units', () => {
  const rows = [{ tempMinC: -2.5, open: true, note: null }];
  const columns = ['tempMinC', 'open', 'note'];
  expect(csvInUnits(rows, columns, 'metric')).toBe('tempMinC,open,note\n-2.5,true,');
  expect(csvInUnits([{ tempMinC: -20 }], ['tempMinC'], 'us')).toMatch(/^\w+\n-4$/);
});
