type Schemas = Readonly<Record<string, unknown>>;
type Document = { readonly components: { readonly schemas: Schemas } };

const referenceTo = (name: string): string => `"#/components/schemas/${name}"`;

/**
 * `unit` is no keyword of JSON Schema: an extension has to begin with x-. `readOnly` says there that a request must not
 * have the property; the schemas mean that the program does not change it.
 */
const extended = (value: unknown): unknown => {
  if (Array.isArray(value)) return value.map(extended);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key, inner]) => !(key === 'readOnly' && inner === true))
      .map(([key, inner]) => [
        key === 'unit' && typeof inner === 'string' ? 'x-unit' : key,
        key === 'example' ? inner : extended(inner),
      ]),
  );
};

/** Every schema comes twice, as it is sent (`FieldInput`) and as it is answered (`Field`); where both are the same, one goes. */
const merged = (text: string, schemas: Schemas): string =>
  Object.keys(schemas)
    .filter((name) => `${name}Input` in schemas)
    .reduce((all, name) => {
      const as = (schema: unknown) => JSON.stringify(schema).replaceAll('Input"', '"');
      return as(schemas[name]) === as(schemas[`${name}Input`])
        ? all.replaceAll(referenceTo(`${name}Input`), referenceTo(name))
        : all;
    }, text);

/** Names that are referred to from outside the components, and what those refer to in turn. */
const used = (document: Document): Set<string> => {
  const { components, ...rest } = document;
  const names = Object.keys(components.schemas);
  const found = new Set<string>();
  const follow = (text: string): void => {
    for (const name of names) {
      if (found.has(name) || !text.includes(referenceTo(name))) continue;
      found.add(name);
      follow(JSON.stringify(components.schemas[name]));
    }
  };
  follow(JSON.stringify({ ...rest, others: { ...components, schemas: {} } }));
  return found;
};

/** A schema that is only ever sent needs no ending. */
const plainNames = (text: string, kept: ReadonlySet<string>): string =>
  [...kept]
    .filter((name) => name.endsWith('Input') && !kept.has(name.slice(0, -'Input'.length)))
    .reduce((all, name) => all.replaceAll(name, name.slice(0, -'Input'.length)), text);

/** The document with each schema under one name, and no schema that nothing refers to. */
export const onceNamed = <T extends Document>(document: T): T => {
  const clean: T = JSON.parse(merged(JSON.stringify(extended(document)), document.components.schemas));
  const kept = used(clean);
  const schemas = Object.fromEntries(Object.entries(clean.components.schemas).filter(([name]) => kept.has(name)));
  const whole = { ...clean, components: { ...clean.components, schemas } };
  return JSON.parse(plainNames(JSON.stringify(whole), kept));
};
