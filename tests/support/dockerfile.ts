/** One instruction of a Dockerfile, its continued lines joined. */
export type Instruction = { readonly name: string; readonly rest: string };
/** What begins with a FROM: its image, its name where it has one, and the instructions after it. */
export type Stage = { readonly image: string; readonly name: string; readonly instructions: readonly Instruction[] };

const joined = (text: string): string[] =>
  text
    .split('\n')
    .filter((line) => !/^\s*#/.test(line))
    .join('\n')
    .replace(/\\\n/g, ' ')
    .split('\n')
    .map((line) => line.trim().replace(/\s+/g, ' '))
    .filter((line) => line !== '');

/** The stages of a Dockerfile in their order. A stage without a name has its number, as `COPY --from` counts. */
export const stages = (text: string): Stage[] => {
  const found: { image: string; name: string; instructions: Instruction[] }[] = [];
  for (const line of joined(text)) {
    const [, name = '', rest = ''] = /^(\S+) (.*)$/.exec(line) ?? [];
    if (name === 'FROM') {
      const [image = '', , as] = rest.split(' ');
      found.push({ image, name: as ?? String(found.length), instructions: [] });
    } else found.at(-1)?.instructions.push({ name, rest });
  }
  return found;
};

/** The last instruction of a kind, or '' where there is none. */
export const last = (stage: Stage, name: string): string =>
  stage.instructions.findLast((one) => one.name === name)?.rest ?? '';

export type Copy = { readonly from: string | null; readonly sources: readonly string[]; readonly to: string };
/** What a COPY takes from where to where; `from` is null for the folder that is built. */
export const copied = (rest: string): Copy => {
  const words = rest.split(' ');
  const from = words.find((word) => word.startsWith('--from='))?.slice('--from='.length) ?? null;
  const paths = words.filter((word) => !word.startsWith('--'));
  return { from, sources: paths.slice(0, -1), to: paths.at(-1) ?? '' };
};

/** Variables that an ENV sets. */
export const environment = (stage: Stage): Record<string, string> =>
  Object.fromEntries(
    stage.instructions
      .filter(({ name }) => name === 'ENV')
      .flatMap(({ rest }) => [...rest.matchAll(/(\w+)=(\S*)/g)].map(([, key = '', value = '']) => [key, value])),
  );
