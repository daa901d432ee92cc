import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { copied, environment, last, type Stage } from '../../support/dockerfile.ts';

/** A stage as a folder: paths of the image lie under it. */
type Built = ReadonlyMap<string, string>;

const inside = (folder: string, workdir: string, path: string): string =>
  join(folder, path.startsWith('/') ? path : join(workdir, path));

const copy = (rest: string, folder: string, workdir: string, built: Built, context: string): void => {
  const { from, sources, to } = copied(rest);
  for (const source of sources) {
    const origin = from === null ? join(context, source) : join(built.get(from) ?? '', source);
    const target = inside(folder, workdir, to);
    // As docker does: a source goes into a target that ends in a slash, and otherwise becomes the target.
    cpSync(origin, to.endsWith('/') ? join(target, basename(source)) : target, { recursive: true });
  }
};

/** Distribution packages and owners are the image's own; everything else runs here as it stands in the Dockerfile. */
const isOfTheDistribution = (command: string): boolean => /^(apt-get|install -d) /.test(command);

const run = (command: string, cwd: string): void => {
  const { status, stdout, stderr } = spawnSync('sh', ['-ec', command], { cwd, encoding: 'utf8' });
  if (status !== 0) throw new Error(`RUN ${command}\n${stdout}${stderr}`);
};

/**
 * Builds a stage into a folder by running its instructions without a container engine.
 * @param context the folder that `docker build` would be given
 */
export const builtStage = (stage: Stage, folder: string, built: Built, context: string): void => {
  let workdir = '/';
  for (const { name, rest } of stage.instructions) {
    if (name === 'WORKDIR') {
      workdir = rest;
      mkdirSync(join(folder, workdir), { recursive: true });
    }
    if (name === 'COPY') copy(rest, folder, workdir, built, context);
    if (name === 'RUN' && !isOfTheDistribution(rest)) run(rest, join(folder, workdir));
  }
};

/** The last word of the image: its folder of work, its command and its variables. */
export const entrypoint = (stage: Stage): { workdir: string; command: string[]; env: Record<string, string> } => ({
  workdir: last(stage, 'WORKDIR'),
  command: JSON.parse(last(stage, 'ENTRYPOINT')),
  env: environment(stage),
});

/** The health check's command as it would run in the container. */
export const healthCommand = (stage: Stage): string[] =>
  JSON.parse(last(stage, 'HEALTHCHECK').replace(/^.*? CMD (?=\[)/, ''));
