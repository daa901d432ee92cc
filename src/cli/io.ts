/** Everything a command touches outside its arguments, so that a test can hold it. Input files are read by path. */
export type Io = {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  readonly nowMs: () => number;
  /** IANA zone of the machine: the hours of a field whose zone nobody gave. */
  readonly timeZone: string;
};
