/** Far more than there are zones; upper and lower case make further names. */
const MOST_ZONES = 1000;
/** To make one takes longer than to read a year of weather. */
const formats = new Map<string, Intl.DateTimeFormat>();

const formatOf = (timeZone: string): Intl.DateTimeFormat => {
  const known = formats.get(timeZone);
  if (known !== undefined) return known;
  const made = new Intl.DateTimeFormat('en-US', { timeZone, timeZoneName: 'longOffset' });
  if (formats.size < MOST_ZONES) formats.set(timeZone, made);
  return made;
};

/** Whether the platform knows a zone. @example isTimeZone('America/Chicago') // true */
export const isTimeZone = (name: string): boolean => {
  try {
    formatOf(name);
    return true;
  } catch {
    return false;
  }
};

/**
 * Hours that a zone's clock is ahead of UTC at an instant in milliseconds since 1970.
 * @example zoneOffsetH('Asia/Kolkata', 0) // 5.5
 */
export const zoneOffsetH = (timeZone: string, instant: number): number => {
  const parts = formatOf(timeZone).formatToParts(instant);
  const name = parts.find(({ type }) => type === 'timeZoneName')?.value ?? 'GMT';
  const [, sign, hours, minutes] = /GMT([+-])(\d+):(\d+)/.exec(name) ?? ['', '+', '0', '0'];
  return (sign === '-' ? -1 : 1) * (Number(hours) + Number(minutes) / 60);
};
