import type { CatalogueCore } from '../core/outlook/catalogue.ts';
import type { Morning } from '../core/outlook/outlook.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import type { Attribution, LiveSource } from '../sources/live/contract.ts';
import type { Role, Store } from '../store/contract.ts';
import type { TomorrowAnswer } from './schema.ts';
import type { TakenWeather, WeatherToTake } from './takenWeather.ts';

/** Who asks: a key that was checked, and when its time is over. `farmId` is null for an operator. */
export type Who = {
  readonly keyId: string;
  readonly farmId: string | null;
  readonly role: Role;
  readonly expiresAtMs: number | null;
};

/** One field of `tomorrow`, and the weather that it stands under. */
export type FieldTomorrow = {
  readonly field: TomorrowAnswer['fields'][number];
  readonly weather: TomorrowAnswer['weather'];
};

/** In what form an outlook is told. A text is headed by the farm, where the field is one's. */
export type OutlookForm = {
  readonly format: 'json' | 'csv' | 'text';
  readonly units: 'metric' | 'us';
  readonly farm?: { readonly name: string; readonly invented: boolean };
  /** As it goes over the wire; without it as it is. */
  readonly packing?: 'br' | 'gzip' | null;
};

/**
 * Runs the core away from the thread that answers requests: anything longer than 5 ms. Rejects with the WhitethreadError
 * that the core threw, or 'timed-out', 'overloaded'.
 */
export type Compute = {
  /**
   * The outlook of one field as bytes that can be sent as they are.
   * @param field a `fieldRequest`, as an object or as the JSON text that came in
   */
  readonly outlook: (field: FieldInput | string, form: OutlookForm) => Promise<Uint8Array>;
  readonly tomorrow: (field: FieldInput) => Promise<FieldTomorrow>;
  /** The field on the mornings of some days, none after its `today`. */
  readonly mornings: (field: FieldInput, dates: readonly string[]) => Promise<readonly Morning[]>;
  /** Posted weather, looked through and as it is to be kept. */
  readonly takenWeather: (given: WeatherToTake) => Promise<TakenWeather>;
  /**
   * A farm's tomorrow, the record of its passes or kept weather, as bytes that can be sent as they are.
   * @param answer its JSON in metric units
   */
  readonly told: (
    what: 'tomorrow' | 'passes' | 'weather',
    answer: string,
    form: Omit<OutlookForm, 'farm'>,
  ) => Promise<Uint8Array>;
};

/** Everything with an effect that the service uses; a test gives its own. */
export type Deps = {
  readonly store: Store;
  /** By id: 'power', 'ncei', 'archive', 'us-grid', 'global'. */
  readonly sources: Readonly<Record<string, LiveSource>>;
  readonly compute: Compute;
  readonly catalogue: CatalogueCore;
  readonly nowMs: () => number;
};

/** Whose weather it is, when they gave it, as an instant, and whether it is old. */
export type Credit = Attribution & { readonly fetchedAt: string; readonly stale: boolean };

/** Answer of a stored farm: what is told, whose weather it rests on, and what the reader should know of that weather. */
export type Credited<T> = {
  readonly answer: T;
  readonly credits: readonly Credit[];
  readonly notes: readonly string[];
};
