import { Writable } from 'node:stream';
import { pino } from 'pino';
import { expect, test } from 'vitest';
import { sourceLog } from '../../src/http/sourceLog.ts';
import { operatorKey, statelessApp } from './fakes.ts';

test('a weather service that fails is a warning, its return a word, and every failure counts', async () => {
  const lines: string[] = [];
  const write = (chunk: Buffer, _: string, done: () => void) => {
    lines.push(String(chunk));
    done();
  };
  const { failures, watch } = sourceLog(pino({}, new Writable({ write })));
  const { failed, stopped, isBack } = watch('farms');
  for (let call = 0; call < 5; call++) failed('power', 'source-unavailable');
  watch('sent fields').failed('power', 'source-malformed');
  stopped('power', 'weather source power: given HTTP 502');
  isBack('power');
  expect(lines.map((line) => JSON.parse(line))).toEqual([
    expect.objectContaining({
      level: 40,
      source: 'power',
      asksFor: 'farms',
      problem: 'weather source power: given HTTP 502',
      msg: 'a weather service fails',
    }),
    expect.objectContaining({ level: 30, source: 'power', asksFor: 'farms', msg: 'a weather service is back' }),
  ]);
  const app = await statelessApp({ figures: [failures] });
  const { body } = await app.inject({ url: '/metrics', headers: operatorKey });
  expect(body).toContain('whitethread_source_failures_total{source="power",code="source-unavailable"} 5');
  expect(body).toContain('whitethread_source_failures_total{source="power",code="source-malformed"} 1');
  await app.close();
});
