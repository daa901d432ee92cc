import { beforeAll, describe, expect, it } from 'vitest';
import type { Deps, Who } from '../../src/service/contract.ts';
import { type KeyWish, keySent, listKeys, makeKey, mayI, revokeKey, whoOf } from '../../src/service/keys.ts';
import { roles } from '../../src/store/contract.ts';
import { codeOf } from '../contract/store.ts';
import { emptyFarm, keeperOf, operator, serviceAt } from '../support/farmService.ts';

const checkedKey = async (given: Pick<Deps, 'store' | 'nowMs'>, text: string) =>
  whoOf(given, await keySent(given, text));

let deps: Deps;
let farmA: string;
let farmB: string;
let wish: KeyWish;
beforeAll(async () => {
  deps = await serviceAt('2026-05-12T12:00:00Z');
  farmA = await emptyFarm(deps);
  farmB = await emptyFarm(deps);
  wish = { farmId: farmA, role: 'planner', label: 'office', expiresAtMs: null };
});

describe('an API key', () => {
  it('is shown once, opens its farm with its role, and is kept as a hash only', async () => {
    const { key, text } = await makeKey(deps, keeperOf(farmA), wish);
    expect(text).toMatch(/^wt_[0-9a-z]{26}_[A-Za-z0-9_-]{43}$/);
    expect(await checkedKey(deps, text)).toEqual({ keyId: key.id, farmId: farmA, role: 'planner', expiresAtMs: null });
    const secret = text.split('_').slice(2).join('_');
    expect(JSON.stringify(await deps.store.key(key.id))).not.toContain(secret);
    expect(JSON.stringify(await listKeys(deps, keeperOf(farmA), farmA))).not.toMatch(/secret/i);
  });

  it.each([
    ['of another form', () => 'wt_short'],
    ['with another secret', (text: string) => `${text.slice(0, -1)}${text.endsWith('A') ? 'B' : 'A'}`],
    ['with another id', (text: string) => text.replace(/^wt_./, text.startsWith('wt_0') ? 'wt_1' : 'wt_0')],
    ['cut short', (text: string) => text.slice(0, -1)],
  ])('%s is refused', async (_, change) => {
    const { text } = await makeKey(deps, keeperOf(farmA), wish);
    expect(await codeOf(checkedKey(deps, change(text)))).toBe('unauthenticated');
  });

  it('opens nothing once revoked, and nothing from its last instant on', async () => {
    const { key, text } = await makeKey(deps, keeperOf(farmA), wish);
    await revokeKey(deps, keeperOf(farmA), farmA, key.id);
    await expect(checkedKey(deps, text)).rejects.toThrow('revoked');
    const now = deps.nowMs();
    const { text: short } = await makeKey(deps, keeperOf(farmA), { ...wish, expiresAtMs: now + 1 });
    expect((await checkedKey(deps, short)).role).toBe('planner');
    await expect(checkedKey({ ...deps, nowMs: () => now + 1 }, short)).rejects.toThrow('over');
  });

  it('that would be over already is not made', async () => {
    const now = deps.nowMs();
    for (const expiresAtMs of [0, now - 1, now])
      expect(await codeOf(makeKey(deps, keeperOf(farmA), { ...wish, expiresAtMs }))).toBe('invalid-input');
    const made = makeKey(deps, keeperOf(farmA), { ...wish, expiresAtMs: now });
    await expect(made).rejects.toThrow('expiresAt: given 2026-05-12T12:00:00.000Z; allowed an instant after now');
  });

  it('is made by keepers for their own farm, by operators for any, for the server by operators alone', async () => {
    const code = (who: Who, farmId: string | null, role: (typeof roles)[number]) =>
      codeOf(makeKey(deps, who, { ...wish, farmId, role }));
    expect(await code(keeperOf(farmA), farmA, 'keeper')).toBe('none');
    expect(await code(keeperOf(farmA), farmB, 'reader')).toBe('not-found');
    expect(await code(keeperOf(farmA), farmA, 'operator')).toBe('forbidden');
    expect(await code(keeperOf(farmA), null, 'operator')).toBe('not-found');
    expect(await code({ ...keeperOf(farmA), role: 'planner' }, farmA, 'reader')).toBe('forbidden');
    expect(await code(operator, farmB, 'keeper')).toBe('none');
    expect(await code(operator, null, 'operator')).toBe('none');
    expect(await code(operator, null, 'reader')).toBe('forbidden');
    expect(await code(operator, farmB, 'operator')).toBe('forbidden');
  });

  it('of a farm that there is not are not listed as none', async () => {
    const nowhere = '0'.repeat(26);
    expect(await codeOf(listKeys(deps, operator, nowhere))).toBe('not-found');
    await expect(listKeys(deps, operator, nowhere)).rejects.toThrow('allowed a farm of this server');
    expect(await listKeys(deps, operator, await emptyFarm(deps))).toEqual([]);
  });

  it('of another farm can neither be seen nor revoked', async () => {
    const { key, text } = await makeKey(deps, keeperOf(farmA), wish);
    expect(await codeOf(revokeKey(deps, keeperOf(farmB), farmB, key.id))).toBe('not-found');
    expect(await codeOf(revokeKey(deps, keeperOf(farmB), farmA, key.id))).toBe('not-found');
    expect(await codeOf(listKeys(deps, keeperOf(farmB), farmA))).toBe('not-found');
    expect((await checkedKey(deps, text)).farmId).toBe(farmA);
  });
});

describe('mayI, every role and every least role', () => {
  it.each(roles.flatMap((role) => roles.map((least) => [role, least] as const)))(
    'a %s where %s is needed',
    async (role, least) => {
      const farmId = role === 'operator' ? null : farmA;
      const ask = (where: string | null) =>
        codeOf((async () => mayI({ keyId: 'k', farmId, role, expiresAtMs: null }, least, where))());
      const enough = roles.indexOf(role) >= roles.indexOf(least);
      expect(await ask(farmA)).toBe(enough ? 'none' : 'forbidden');
      expect(await ask(farmB)).toBe(role === 'operator' ? 'none' : 'not-found');
      expect(await ask(null)).toBe(role === 'operator' ? 'none' : 'not-found');
    },
  );
});
