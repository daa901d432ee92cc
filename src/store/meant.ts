/**
 * Which version a change is meant for: this one, one of these, or '*' for whichever stands. None of them where what was
 * said can be no version's.
 */
export type Meant = number | readonly number[] | '*';

/** Whether a change is meant for the version that stands. */
export const isMeant = (meant: Meant, version: number): boolean => meant === '*' || [meant].flat().includes(version);

/** The same for people. @example meantText([3, 4]) // 'version 3 or 4' */
export const meantText = (meant: Meant): string => {
  if (meant === '*') return 'any version';
  const versions = [meant].flat();
  return versions.length === 0 ? 'a tag of none of its versions' : `version ${versions.join(' or ')}`;
};
