/** Scale bars, and views laid at one scale. Lengths on the screen are CSS pixels. */
import { t } from '../words';
import { fitted, type Size } from './zoom';

/** A scale bar: its length in millimetres and on the screen, and its words. */
export interface Bar {
  mm: number;
  px: number;
  words: string;
}

/** barFor is the longest bar of 1, 2 or 5 times a power of ten that is at most `most` wide; null where there is no scale. */
export function barFor(pxPerMm: number, most: number): Bar | null {
  if (!(pxPerMm > 0) || !(most > 0) || !Number.isFinite(pxPerMm)) return null;
  const room = most / pxPerMm;
  const ten = 10 ** Math.floor(Math.log10(room));
  const mm = [5, 2, 1].map((n) => n * ten).find((n) => n <= room * 1.0000001) ?? ten;
  if (mm < 0.01 || mm > 5000) return null;
  return { mm, px: mm * pxPerMm, words: mm >= 100 ? `${Math.round(mm / 10)} cm` : `${Number(mm.toPrecision(1))} mm` };
}

/** barSaid names the scale bar at the end of the name of a button that shows one; "" where there is none. */
export function barSaid(pxPerMm: number, most: number): string {
  const bar = barFor(pxPerMm, most);
  return bar ? `. ${t('Scale bar:')} ${bar.words}` : '';
}

/** shownScale is how many pixels of the screen show a millimetre of a picture that is laid whole into a frame; 0 without a scale. */
export function shownScale(pxPerMm: number | undefined, picture: Size, frame: Size): number {
  if (!pxPerMm || picture.width <= 0) return 0;
  return (pxPerMm * fitted(picture, frame).width) / picture.width;
}

/**
 * equalised is by how much each view is made smaller (0 to 1) so that all show a millimetre alike,
 * as large as the view with the smallest scale: 1 for those without a scale, which stay as they are.
 */
export function equalised(scales: readonly number[]): number[] {
  const known = scales.filter((s) => s > 0);
  if (known.length < 2) return scales.map(() => 1);
  const least = Math.min(...known);
  return scales.map((s) => (s > 0 ? least / s : 1));
}
