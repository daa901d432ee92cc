import { execFile } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import openapiTS, { astToString } from 'openapi-typescript';

const root = fileURLToPath(new URL('../..', import.meta.url));
const run = promisify(execFile);
const story = new URL('./client/story.ts', import.meta.url);

/** What the client of tests/story/client says it did, in this order. */
export const chapters = [
  'makes a farm and a key for it',
  'keeps weather as columns and as CSV',
  'draws fields, as a point and as an outline',
  'has machines and a crew',
  'plants, hoes and counts',
  'asks for tomorrow as JSON, CSV and text',
  'changes a field once, and not over the change of another',
  'posts twice and makes one record',
  'takes the pass record for the certifier',
  'reads who changed what',
  'streams the outlooks of a batch',
  'meets what is refused, and why',
];

const made: string[] = [];
/** Takes the client's folders away. */
export const storyEnds = (): void => {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true });
};

/** A project of another house in a temporary folder: the client's source, and types generated from the OpenAPI file. */
export const outsideClient = async (): Promise<string> => {
  const folder = mkdtempSync(join(tmpdir(), 'client-'));
  made.push(folder);
  cpSync(dirname(fileURLToPath(story)), folder, { recursive: true });
  symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'));
  writeFileSync(join(folder, 'package.json'), '{ "private": true, "type": "module" }');
  const document = new URL('../../openapi/openapi.json', import.meta.url);
  writeFileSync(join(folder, 'paths.ts'), astToString(await openapiTS(document, { defaultNonNullable: false })));
  return folder;
};

/** What the compiler says of the client under strict rules; '' where the story fits the OpenAPI file. */
export const complaints = async (folder: string): Promise<string> => {
  const rules = ['--noEmit', '--strict', '--skipLibCheck', '--allowImportingTsExtensions'];
  const target = ['--module', 'nodenext', '--target', 'es2023', '--lib', 'es2023,dom,dom.iterable', '--types', 'node'];
  const compiler = join(root, 'node_modules', 'typescript', 'bin', 'tsc');
  const args = [compiler, '--ignoreConfig', ...rules, ...target, basename(story.pathname)];
  return run(process.execPath, args, { cwd: folder }).then(
    () => '',
    ({ stdout }: { stdout: string }) => stdout,
  );
};

/** Lets the client go through its story against a server, in a process of its own; gives the chapters that it told. */
export const storyTold = async (address: string, operatorKey: string, folder?: string): Promise<string[]> => {
  const cwd = folder ?? (await outsideClient());
  const args = ['--import', import.meta.resolve('tsx'), basename(story.pathname), address, operatorKey];
  const { stdout } = await run(process.execPath, args, { cwd });
  return stdout.trim().split('\n');
};
