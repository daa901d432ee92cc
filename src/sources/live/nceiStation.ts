/** How NCEI names its stations: country, network, number. Whoever keeps such a name checks it before the source is asked. */
export const nceiStation = {
  form: /^[A-Z]{2}[A-Z0-9]{9}$/,
  allowed: 'a station id of 11 capital letters and digits, as USC00130200',
} as const;
