/** Reading typed coordinates out of reach; in reach the server reads them, in all their forms. */

/** Metres of a degree of latitude at the poles, where it is longest, rounded up. */
const degree = 111_700;

/**
 * decimalPlace reads two figures in decimal degrees, latitude first; null for
 * anything else. The uncertainty, in metres, is the diagonal of one step of the
 * last figure written, as the server reckons it (Chapman & Wieczorek 2020,
 * https://doi.org/10.15468/doc-gg7h-s853), with the longest degree there is.
 */
export function decimalPlace(text: string): { lat: number; lon: number; uncertainty: number } | null {
  const read = /^\s*([-+]?\d{1,2}(?:\.(\d+))?)\s*[,;\s]\s*([-+]?\d{1,3}(?:\.(\d+))?)\s*$/.exec(text);
  if (!read) return null;
  const [lat, lon] = [Number(read[1]), Number(read[3])];
  if (Math.abs(lat) > 90 || Math.abs(lon) > 180) return null;
  const figures = Math.min(read[2]?.length ?? 0, read[4]?.length ?? 0);
  return { lat, lon, uncertainty: Math.ceil(degree * 10 ** -figures * Math.hypot(1, Math.cos((lat * Math.PI) / 180))) };
}
