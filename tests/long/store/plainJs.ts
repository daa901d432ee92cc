import { mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const compilerOptions: ts.CompilerOptions = {
  target: ts.ScriptTarget.ES2023,
  module: ts.ModuleKind.ESNext,
  rewriteRelativeImportExtensions: true,
  verbatimModuleSyntax: true,
};
const IMPORT = /^(?:import|export)\b[^;]*?from '(\.[^']+\.ts)'/gms;

/**
 * A script and all it imports as plain JavaScript in a folder: it starts without a compiler, for tests that start it
 * hundreds of times. Gives the file to run.
 */
export const plainJs = (script: string, folder: string): string => {
  const done = new Set<string>();
  const placeOf = (file: string): string => join(folder, relative(root, file)).replace(/\.ts$/, '.js');
  const compile = (file: string): void => {
    if (done.has(file)) return;
    done.add(file);
    const source = readFileSync(file, 'utf8');
    mkdirSync(dirname(placeOf(file)), { recursive: true });
    writeFileSync(placeOf(file), ts.transpileModule(source, { compilerOptions }).outputText);
    for (const [, from = ''] of source.matchAll(IMPORT)) compile(join(dirname(file), from));
  };
  compile(script);
  symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'));
  writeFileSync(join(folder, 'package.json'), '{"type":"module"}');
  return placeOf(script);
};
