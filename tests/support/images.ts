import { copied, environment, last, stages } from './dockerfile.ts';

/** A tag that names a version, not whatever is newest. */
export const isPinned = (image: string): boolean => /^[\w./-]+:v?\d[\w.-]*$/.test(image);

const SECRET = /pass|secret|token|key/i;

/** What is wrong with a Dockerfile, each as a line; nothing where all is well. */
export const dockerfileFaults = (text: string): string[] => {
  const all = stages(text);
  const final = all.at(-1);
  if (final === undefined) return ['no stage'];
  const runs = final.instructions.filter(({ name }) => name === 'RUN').map(({ rest }) => rest);
  const names = all.flatMap(({ instructions }) => instructions.map(({ name }) => name));
  const apt = all
    .flatMap(({ instructions }) => instructions)
    .filter(({ name, rest }) => name === 'RUN' && /apt-get install/.test(rest));
  return Object.entries({
    'one stage only: compilers would ship': all.length < 2,
    'an image without a version': all.some(({ image }) => !isPinned(image)),
    'the service runs as root': ['', 'root', '0'].includes(last(final, 'USER')),
    'packages are installed in the stage that ships': runs.some((run) => /npm|apt-get|apk/.test(run)),
    'no health check by the program itself': !/CMD \["node",/.test(last(final, 'HEALTHCHECK')),
    'the command goes through a shell and hears no signal': !last(final, 'ENTRYPOINT').startsWith('["node"'),
    'ADD may fetch and unpack': names.includes('ADD'),
    'not marked as production': environment(final).NODE_ENV !== 'production',
    'a secret stays in the image': all.some((stage) => Object.keys(environment(stage)).some((key) => SECRET.test(key))),
    'apt-get installs more than it is asked to, or leaves its lists': apt.some(
      ({ rest }) => !rest.includes('--no-install-recommends') || !rest.includes('rm -rf /var/lib/apt/lists'),
    ),
    'npm ci ships what only developers use': !all.some(({ instructions }) =>
      instructions.some(({ rest }) => /npm ci --omit=dev/.test(rest)),
    ),
  }).flatMap(([fault, found]) => (found ? [fault] : []));
};

/** Paths that the build copies from the folder it is given. */
export const contextPaths = (text: string): string[] =>
  stages(text).flatMap(({ instructions }) =>
    instructions.flatMap(({ name, rest }) => {
      const { from, sources } = copied(rest);
      return name === 'COPY' && from === null ? sources.map((source) => source.replace(/^\.\//, '')) : [];
    }),
  );

export type Service = {
  readonly image?: string;
  readonly read_only?: boolean;
  readonly privileged?: boolean;
  readonly network_mode?: string;
  readonly cap_drop?: readonly string[];
  readonly security_opt?: readonly string[];
  readonly restart?: string;
  readonly ports?: readonly string[];
  readonly volumes?: readonly string[];
  readonly networks?: readonly string[];
  readonly environment?: Readonly<Record<string, string>>;
  readonly healthcheck?: object;
  readonly build?: object;
  readonly mem_limit?: string;
};
export type Compose = {
  readonly services: Readonly<Record<string, Service>>;
  readonly networks?: Readonly<Record<string, { readonly internal?: boolean } | null>>;
};

const serviceFaults = (service: Service): string[] =>
  Object.entries({
    'image without a version': !isPinned(service.image ?? ''),
    'may write to its own files': service.read_only !== true,
    'keeps rights of root that it does not need': !service.cap_drop?.includes('ALL'),
    'may gain rights': !service.security_opt?.includes('no-new-privileges:true'),
    'no health check': service.healthcheck === undefined && service.build === undefined,
    'does not come back after a fall': service.restart !== 'unless-stopped',
    'reaches the host': service.privileged === true || service.network_mode === 'host',
    'no limit of memory': service.mem_limit === undefined,
    'a secret in the file itself': Object.entries(service.environment ?? {}).some(
      ([key, value]) => SECRET.test(key) && !/^\$\{\w+:\?/.test(value),
    ),
  }).flatMap(([fault, found]) => (found ? [fault] : []));

/** What is wrong with a compose file: each service by itself, then who reaches whom. */
export const composeFaults = ({ services, networks = {} }: Compose): string[] => {
  const internal = Object.keys(networks).filter((name) => networks[name]?.internal === true);
  const open = Object.keys(services).filter((name) => services[name]?.ports !== undefined);
  const database = services.database;
  return [
    ...Object.entries(services).flatMap(([name, service]) =>
      serviceFaults(service).map((fault) => `${name}: ${fault}`),
    ),
    ...(open.every((name) => name === 'proxy') ? [] : [`ports open besides the proxy's: ${open.join(', ')}`]),
    ...(database?.networks?.every((name) => internal.includes(name)) ? [] : ['database: in a network with a way out']),
  ];
};
