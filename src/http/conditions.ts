import type { App } from './contract.ts';
import { refusal } from './errors.ts';

const conditions = ['if-match', 'if-none-match'] as const;

/**
 * Refuses a condition that a write does not take: to write without looking at it is what its sender wants to rule out
 * (RFC 9110, 13.1). One takes what the schema of its header fields names.
 */
export const conditionsOfWrites = (app: App): void => {
  app.addHook('onRoute', (route) => {
    if (['GET', 'HEAD', 'OPTIONS'].includes([route.method].flat()[0] ?? '')) return;
    const taken = (route.schema?.headers as { readonly shape?: object } | undefined)?.shape ?? {};
    const others = conditions.filter((name) => !(name in taken));
    route.onRequest = [route.onRequest ?? []].flat().concat(({ headers }, _, done) => {
      for (const name of others) {
        const given = headers[name];
        if (given === undefined) continue;
        const allowed = 'none: this request takes no such condition';
        throw refusal('invalid-input', `header ${name}`, given.slice(0, 80), allowed);
      }
      done();
    });
  });
};
