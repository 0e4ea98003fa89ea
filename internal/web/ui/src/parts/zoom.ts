// Zooming and moving of a picture that is laid into a frame. All lengths are
// CSS pixels of the frame. A scale of 1 shows the whole picture.

/** How a picture lies in its frame: scale, and offset of its centre from the frame's. */
export interface Lie {
  scale: number;
  x: number;
  y: number;
}

/** Width and height in pixels. */
export interface Size {
  width: number;
  height: number;
}

/** The picture whole and in the middle. */
export const WHOLE: Lie = { scale: 1, x: 0, y: 0 };

/** The largest scale: eight times the whole picture. */
export const LARGEST = 8;

/** The size at which a picture fits whole into the frame. */
export function fitted(picture: Size, frame: Size): Size {
  if (picture.width <= 0 || picture.height <= 0) return { width: 0, height: 0 };
  const k = Math.min(frame.width / picture.width, frame.height / picture.height);
  return { width: picture.width * k, height: picture.height * k };
}

/** The lie with scale and offset inside what makes sense: no edge leaves the frame for nothing. */
export function kept(lie: Lie, picture: Size, frame: Size): Lie {
  const scale = Math.min(LARGEST, Math.max(1, lie.scale));
  const fit = fitted(picture, frame);
  const roomX = Math.max(0, (fit.width * scale - frame.width) / 2);
  const roomY = Math.max(0, (fit.height * scale - frame.height) / 2);
  const within = (v: number, room: number) => (room === 0 ? 0 : Math.min(room, Math.max(-room, v)));
  return { scale, x: within(lie.x, roomX), y: within(lie.y, roomY) };
}

/**
 * The lie after zooming by `factor` so that what lies at (px, py), measured
 * from the middle of the frame, stays there as far as the edges allow.
 */
export function zoomed(lie: Lie, factor: number, px: number, py: number, picture: Size, frame: Size): Lie {
  const scale = Math.min(LARGEST, Math.max(1, lie.scale * factor));
  const k = scale / lie.scale;
  return kept({ scale, x: px - (px - lie.x) * k, y: py - (py - lie.y) * k }, picture, frame);
}

/** The lie moved by so many pixels. */
export function moved(lie: Lie, dx: number, dy: number, picture: Size, frame: Size): Lie {
  return kept({ ...lie, x: lie.x + dx, y: lie.y + dy }, picture, frame);
}

/**
 * Which point of the picture lies under a point of the frame, as fractions 0
 * to 1 of the picture's width and height; null outside the picture.
 */
export function under(px: number, py: number, lie: Lie, picture: Size, frame: Size): { u: number; v: number } | null {
  const fit = fitted(picture, frame);
  const w = fit.width * lie.scale;
  const h = fit.height * lie.scale;
  if (w === 0 || h === 0) return null;
  const u = (px - lie.x) / w + 0.5;
  const v = (py - lie.y) / h + 0.5;
  return u < 0 || u > 1 || v < 0 || v > 1 ? null : { u, v };
}
