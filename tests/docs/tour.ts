/** A request of a tour, and the answer that the page shows for it. */
export type Stop = {
  readonly method: string;
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string;
  readonly answer: {
    readonly status: number;
    readonly headers: Readonly<Record<string, string>>;
    readonly body: string;
  };
};
/** What `<name>` stands for, learnt where an answer shows it first. */
export type Names = Map<string, string>;

type Block = { readonly first: string; readonly headers: Record<string, string>; readonly body: string };

const block = (text: string): Block => {
  const [head = '', ...rest] = text.split('\n\n');
  const [first = '', ...lines] = head.trim().split('\n');
  const headers = lines.map((line) => [line.slice(0, line.indexOf(':')), line.slice(line.indexOf(':') + 1).trim()]);
  return { first, headers: Object.fromEntries(headers), body: rest.join('\n\n').trimEnd() };
};

/** Every request of a page with the answer under it: fenced blocks marked `http`, two and two. */
export const stops = (page: string): Stop[] => {
  const blocks = [...page.matchAll(/```http\n(.*?)\n```/gs)].map(([, text = '']) => block(text));
  const found: Stop[] = [];
  for (let i = 0; i < blocks.length; i += 2) {
    const [asked, told] = blocks.slice(i, i + 2);
    const [method = '', path = ''] = asked?.first.split(' ') ?? [];
    const [version, status] = told?.first.split(' ') ?? [];
    if (asked === undefined || told === undefined || version !== 'HTTP/1.1')
      throw new Error(`no answer under ${asked?.first ?? 'the last request'}`);
    const answer = { status: Number(status), headers: told.headers, body: told.body };
    found.push({ method, path, headers: asked.headers, body: asked.body, answer });
  }
  return found;
};

/** A text with what its names stand for. @throws where a name is not known yet */
export const named = (text: string, names: Names): string =>
  text.replace(/<([a-z][a-z ]*)>/g, (whole, name: string) => {
    const value = names.get(name);
    if (value === undefined) throw new Error(`${whole} is used before an answer showed it`);
    return value;
  });

/** Whether a text is as shown; a name not known yet is learnt, `...` stands for anything. */
export const matchesText = (found: string, shown: string, names: Names): boolean => {
  const learnt: string[] = [];
  const pattern = shown
    .split(/(<[a-z][a-z ]*>|\.\.\.)/)
    .map((part) => {
      if (part === '...') return '[\\s\\S]*?';
      const name = /^<(.*)>$/.exec(part)?.[1];
      if (name !== undefined && !names.has(name)) {
        learnt.push(name);
        return '(.+?)';
      }
      return named(part, names).replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
    })
    .join('');
  const match = new RegExp(`^${pattern}$`).exec(found);
  match?.slice(1).forEach((value, i) => {
    names.set(learnt[i] as string, value);
  });
  return match !== null;
};

/**
 * Where an answer differs from what the page shows, each as a line. The page may leave out fields of an object; a list
 * that ends in "..." may go on.
 */
export const differences = (found: unknown, shown: unknown, names: Names, where = 'answer'): string[] => {
  if (typeof shown === 'string' && typeof found === 'string')
    return matchesText(found, shown, names) ? [] : [`${where}: ${found}, shown ${shown}`];
  if (typeof shown !== 'object' || shown === null)
    return Object.is(found, shown) ? [] : [`${where}: ${JSON.stringify(found)}, shown ${JSON.stringify(shown)}`];
  if (typeof found !== 'object' || found === null || Array.isArray(found) !== Array.isArray(shown))
    return [`${where}: ${JSON.stringify(found)} is of another kind than shown`];
  if (!Array.isArray(shown))
    return Object.entries(shown).flatMap(([key, value]) =>
      differences(Reflect.get(found, key), value, names, `${where}.${key}`),
    );
  const items = shown.at(-1) === '...' ? shown.slice(0, -1) : shown;
  const length = (found as readonly unknown[]).length;
  const wrongLength = items.length < shown.length ? length < items.length : length !== items.length;
  if (wrongLength) return [`${where}: ${length} of them, shown ${items.length}`];
  return items.flatMap((item, i) => differences((found as readonly unknown[])[i], item, names, `${where}[${i}]`));
};
