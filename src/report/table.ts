export type Align = 'left' | 'right';

/** Columns of text, padded to their widest cell, two spaces apart; no spaces at the end of a line. */
export const table = (rows: readonly (readonly string[])[], aligns: readonly Align[] = []): string => {
  const columns = Math.max(0, ...rows.map((row) => row.length));
  const widths = Array.from({ length: columns }, (_, i) => Math.max(...rows.map((row) => (row[i] ?? '').length)));
  const line = (row: readonly string[]): string =>
    row
      .map((cell, i) => (aligns[i] === 'right' ? cell.padStart(widths[i] as number) : cell.padEnd(widths[i] as number)))
      .join('  ')
      .trimEnd();
  return rows.map(line).join('\n');
};

/** Width that a terminal of any age shows without breaking lines. */
export const WIDTH = 100;

/**
 * Text broken between words at the line width; every line after the first is indented.
 * @param start what stands on the first line before the text
 */
export const wrapped = (start: string, text: string, indent: number): string => {
  const lines: string[] = [];
  let line = start;
  for (const word of text.split(' ')) {
    const longer = line === start ? line + word : `${line} ${word}`;
    if (longer.length > WIDTH && line.trim() !== '' && line !== start) {
      lines.push(line);
      line = ' '.repeat(indent) + word;
    } else line = longer;
  }
  return [...lines, line].join('\n');
};
