import { describe, expect, test } from 'vitest';
import { differences, type Names, named, stops } from './tour.ts';

describe('what a tour may leave out, and what not', () => {
  const names = (): Names => new Map([['farm', 'abc']]);

  test('fields may be left out of an object and a list may go on after "..."', () => {
    expect(differences({ a: 1, b: [1, 2, 3] }, { b: [1, '...'] }, names())).toEqual([]);
  });

  test('a wrong value, a missing field and a longer list are told', () => {
    expect(differences({ a: 1, b: [1, 2] }, { a: 2, b: [1], c: null }, names())).toEqual([
      'answer.a: 1, shown 2',
      'answer.b: 2 of them, shown 1',
      'answer.c: undefined, shown null',
    ]);
  });

  test('a name is learnt once and has to stay the same', () => {
    const known = names();
    expect(differences({ id: 'f1', farm: 'abc' }, { id: '<field>', farm: '<farm>' }, known)).toEqual([]);
    expect(named('/v1/<farm>/<field>', known)).toBe('/v1/abc/f1');
    expect(differences('f2', '<field>', known)).toEqual(['answer: f2, shown <field>']);
    expect(() => named('<other>', known)).toThrow('<other> is used before an answer showed it');
  });

  test('blocks are read two and two, with headers and body', () => {
    const page =
      'text\n```http\nPOST /a\nX: 1\n\n{"b":1}\n```\nmore\n```http\nHTTP/1.1 201\nETag: "1"\n\n{"c":2}\n```\n';
    expect(stops(page)).toEqual([
      {
        method: 'POST',
        path: '/a',
        headers: { X: '1' },
        body: '{"b":1}',
        answer: { status: 201, headers: { ETag: '"1"' }, body: '{"c":2}' },
      },
    ]);
    expect(() => stops(page.replace(/```http\nHTTP[\s\S]*/, ''))).toThrow('no answer under POST /a');
  });
});
