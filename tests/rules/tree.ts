import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));

const walk = (folder: string): string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? walk(join(folder, entry.name)) : [join(folder, entry.name)],
  );

export type Source = { readonly path: string; readonly text: string; readonly imports: readonly string[] };

const IMPORT = /^(?:import|export)\b[^;]*?from '([^']+)'/gms;

/** Every source file under a folder of the project, with what it imports: own files as paths, packages by name. */
export const sources = (folder: string): Source[] =>
  walk(join(root, folder))
    .filter((file) => file.endsWith('.ts'))
    .map((file) => {
      const text = readFileSync(file, 'utf8');
      const imports = [...text.matchAll(IMPORT)].map(([, from = '']) =>
        from.startsWith('.') ? relative(root, resolve(dirname(file), from)) : from,
      );
      return { path: relative(root, file), text, imports };
    });

/** The code of a file without its comments. */
export const code = (text: string): string => text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|\s)\/\/.*$/gm, '$1');
