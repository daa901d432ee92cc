import { fileURLToPath } from 'node:url';

const inDist = (file: string): URL => new URL(`../../dist/${file}`, import.meta.url);

/**
 * The package as it is shipped, which `npm run build` makes. What runs its sources names every function anew each time
 * it is made, which an answer over HTTP pays and a computation hardly does.
 */
export const library = (await import(inDist('index.js').href)) as typeof import('../../src/index.ts');
export const program = fileURLToPath(inDist('main.js'));
