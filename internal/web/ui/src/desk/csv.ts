// Reading the tables that the desk hands out (RFC 4180).

/** csvRows reads CSV with a header line into one object for each row. */
export function csvRows(text: string): Record<string, string>[] {
  const lines = cellsOf(text);
  const head = lines.shift() ?? [];
  return lines.map((cells) => Object.fromEntries(head.map((h, i) => [h, meant(cells[i] ?? '')])));
}

function cellsOf(text: string): string[][] {
  const out: string[][] = [];
  let row: string[] = [];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!;
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text[i + 1] === '"') cell += text[i++];
      else quoted = false;
    } else if (c === '"') quoted = true;
    else if (c === ',' || c === '\n') {
      row.push(cell);
      cell = '';
      if (c === '\n') {
        out.push(row);
        row = [];
      }
    } else if (c !== '\r') cell += c;
  }
  if (cell !== '' || row.length > 0) out.push([...row, cell]);
  return out;
}

// The apostrophe before a cell that would be a formula is the table's, not the word's.
function meant(cell: string): string {
  return /^'[=+\-@\t\r']/.test(cell) ? cell.slice(1) : cell;
}
