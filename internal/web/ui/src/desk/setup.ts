// Reading of what is typed when a season is set up.

/** A rectangle in decimal degrees. */
export interface Box {
  west: number;
  east: number;
  north: number;
  south: number;
}

/** A corner as latitude and longitude in decimal degrees. */
export interface Corner {
  lat: number;
  lon: number;
}

const NUMBER = /[-+−–]?\d+(?:[.,]\d+)?/g;

/**
 * Reads one number of degrees: "48.45", "48,45", "-20.1", "20.1 W", "48.45°N".
 * Null when it is none or lies outside the globe.
 */
export function readDegrees(text: string, most: 90 | 180): number | null {
  const m = /^\s*([-+−–]?)\s*(\d+(?:[.,]\d+)?)\s*°?\s*([NSEW]?)\s*$/i.exec(text);
  if (!m) return null;
  const letter = (m[3] ?? '').toUpperCase();
  if (most === 90 ? /[EW]/.test(letter) : /[NS]/.test(letter)) return null;
  const minus = /[-−–]/.test(m[1] ?? '');
  const back = letter === 'S' || letter === 'W';
  if (minus && letter) return null;
  const v = Number((m[2] ?? '').replace(',', '.'));
  if (v > most) return null;
  return minus || back ? -v || 0 : v;
}

/**
 * Reads two opposite corners, each as latitude then longitude: "48.45, -20.1
 * 48.60, -19.8". Commas, semicolons, slashes and new lines may part them.
 * Which corners does not matter. Null when there are not four numbers.
 */
export function readCorners(text: string): Box | null {
  const decimalComma = !/\d\.\d/.test(text) && /\d,\d/.test(text) && /[;/\n]|,\s/.test(text);
  const clean = decimalComma ? text : text.replace(/,/g, ' ');
  // A letter behind a figure stands for its sign.
  const signed = clean.replace(/([-+−–]?\d+(?:[.,]\d+)?)\s*°?\s*([NSEW])\b/gi, (all, n: string, l: string) =>
    /[SW]/i.test(l) ? ` -${n.replace(/^[-+−–]/, '')} ` : ` ${n} `,
  );
  const numbers = (signed.match(NUMBER) ?? []).map((n) => Number(n.replace(/[−–]/, '-').replace(',', '.')));
  if (numbers.length !== 4 || numbers.some((n) => !Number.isFinite(n))) return null;
  const [a, b, c, d] = numbers as [number, number, number, number];
  if (Math.abs(a) > 90 || Math.abs(c) > 90 || Math.abs(b) > 180 || Math.abs(d) > 180) return null;
  return { north: Math.max(a, c), south: Math.min(a, c), east: Math.max(b, d), west: Math.min(b, d) };
}

/** What is wrong with a box, per edge; empty when it can be used. */
export function boxFaults(box: Partial<Box>): Partial<Record<keyof Box, string>> {
  const faults: Partial<Record<keyof Box, string>> = {};
  const { north, south, west, east } = box;
  if (north !== undefined && south !== undefined && north <= south) {
    faults.north = `The northern edge, ${north}, must be greater than the southern edge, ${south}. Exchange them.`;
  }
  if (west !== undefined && east !== undefined && west >= east) {
    faults.west = `The western edge, ${west}, must be less than the eastern edge, ${east}. Exchange them; degrees west of Greenwich are negative.`;
  }
  return faults;
}

/**
 * Width and height of a box in kilometres, on a sphere of 6371 km radius and
 * at the box's middle latitude: enough to say whether a season fits in it.
 */
export function boxSize(box: Box): { width: number; height: number } {
  const degree = (Math.PI * 6371) / 180;
  const middle = ((box.north + box.south) / 2) * (Math.PI / 180);
  return { width: (box.east - box.west) * degree * Math.cos(middle), height: (box.north - box.south) * degree };
}

/** A length in kilometres in words: "850 m", "4.2 km", "38 km". */
export function kilometres(km: number): string {
  if (km < 1) return `${Math.round(km * 1000)} m`;
  return km < 10 ? `${km.toFixed(1)} km` : `${Math.round(km)} km`;
}

/** The licences with a sentence each. */
export const LICENCES = [
  { id: 'CC0-1.0', title: 'CC0', says: 'Anybody may use the records and photographs for anything, without asking and without naming you.' },
  { id: 'CC-BY-4.0', title: 'CC BY', says: 'Anybody may use them for anything, as long as they name those who made them.' },
  { id: 'CC-BY-NC-4.0', title: 'CC BY-NC', says: 'Anybody may use them, naming those who made them, but not to earn money.' },
] as const;

/** Whether a code can stand before field numbers: two to eight capital letters and figures. */
export function goodCode(code: string): boolean {
  return /^[A-Z][A-Z0-9]{1,7}$/.test(code);
}

/** A code made from the title and first day: "Vale of Wimbrel", 2026 → "V26". */
export function codeFrom(title: string, starts: string): string {
  const letter = /\p{L}/u.exec(title.normalize('NFD').replace(/\p{M}/gu, ''))?.[0]?.toUpperCase() ?? 'S';
  const year = /^\d\d(\d\d)-/.exec(starts)?.[1] ?? '';
  const code = `${/[A-Z]/.test(letter) ? letter : 'S'}${year}`;
  return goodCode(code) ? code : '';
}
