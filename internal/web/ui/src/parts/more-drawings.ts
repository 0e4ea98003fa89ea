/** The drawings that only some pages need. */
import { bare, nameOf } from './drawing-text';

const sources = import.meta.glob<string>(['../drawings/*.svg', '!../drawings/view-*.svg'], { query: '?raw', import: 'default', eager: true });

/** more holds them by name. */
export const more = new Map(Object.entries(sources).map(([path, svg]) => [nameOf(path), bare(svg)]));
