import { writeFileSync } from 'node:fs';
import { statelessApp } from './fakes.ts';

/** The document as it is committed. */
export const openapiText = async (): Promise<string> => {
  const app = await statelessApp();
  const { body } = await app.inject('/openapi.json');
  await app.close();
  return `${JSON.stringify(JSON.parse(body), null, 1)}\n`;
};

export const openapiFile = new URL('../../openapi/openapi.json', import.meta.url);

if (process.argv[1]?.endsWith('writeOpenapi.ts')) writeFileSync(openapiFile, await openapiText());
