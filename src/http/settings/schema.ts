import { z } from 'zod';
import { BASE, CONTACT, isBase, isContact } from '../../sources/live/registry.ts';
import { isStoreAddress, STORE_ADDRESS } from '../../store/open.ts';

/** Parts joined by commas; one that is wrong is told with all of them, as they were given. */
const list = (part: z.ZodType<string>, allowed: string) =>
  z
    .string()
    .default('')
    .transform((text) => text.split(',').flatMap((one) => (one.trim() === '' ? [] : [one.trim()])))
    .refine((parts) => parts.every((one) => part.safeParse(one).success), allowed);
/** In digits alone: Number() would also take a blank, 0x71be and 1e3 for one. */
const whole = (low: number, high: number, usual: number) =>
  z
    .string()
    .refine((text) => /^\d{1,10}$/.test(text) && Number(text) >= low && Number(text) <= high, {
      error: `a whole number from ${low} to ${high}, in digits`,
    })
    .transform(Number)
    .default(usual);
const sourceIds = ['power', 'ncei', 'archive', 'us-grid', 'global'] as const;
const baseOf = new RegExp(`^(${sourceIds.join('|')})=(.+)$`, 's');
const source = z.string().refine((text) => isBase(baseOf.exec(text)?.[2] ?? ''));

const origin = z
  .string()
  .regex(/^https?:/)
  .refine((text) => URL.canParse(text) && new URL(text).origin === text);
/** Networks that the framework knows by name. */
const networks = ['loopback', 'linklocal', 'uniquelocal'] as const;
/** It takes no network of all addresses. */
const network = z.union([z.cidrv4(), z.cidrv6()]).refine((text) => !/\/0+$/.test(text));
const proxy = z.union([z.ipv4(), z.ipv6(), network, z.enum(networks)]);

/** Settings of the server, by the name of the environment variable without WHITETHREAD_. */
export const settings = z.object({
  HOST: z.string().min(1).default('127.0.0.1'),
  PORT: whole(0, 65_535, 8017),
  STORE: z.string().refine(isStoreAddress, STORE_ADDRESS).default('sqlite:whitethread.db'),
  /** Origins whose pages may call, joined by commas; none without it. */
  ORIGINS: list(origin, 'origins as browsers send them, such as https://app.example, without a path, joined by commas'),
  /** Requests that one key may make in a minute. */
  RATE_PER_MINUTE: whole(1, 1_000_000_000, 600),
  /** Proxies in front, joined by commas, whose X-Forwarded-For is believed. */
  TRUST_PROXY: list(
    proxy,
    `addresses such as 10.0.0.7, networks such as 10.0.0.0/8, or ${networks.join(', ')}, joined by commas`,
  ),
  LOG_LEVEL: z.enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent']).default('info'),
  /** Threads that compute. */
  WORKERS: whole(1, 64, 2),
  /** E-mail or web address that weather services can write to. Without it none of them is asked. */
  CONTACT: z.string().refine(isContact, CONTACT).optional(),
  /** Other addresses of weather services, such as `power=http://127.0.0.1:9000`, joined by commas. */
  SOURCES: list(source, `${sourceIds.join(', ')}, each as id=address; ${BASE}`).refine(
    (parts) => new Set(parts.map((part) => part.split('=')[0])).size === parts.length,
    'each source once',
  ),
});
export type Settings = Readonly<z.output<typeof settings>>;
