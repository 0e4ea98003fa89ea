/** The line drawings, inlined so that they take the colour of the text. */
import { bare, nameOf } from './drawing-text';

// Views are wanted on every page; all others come when they are asked for.
const views = import.meta.glob<string>('../drawings/view-*.svg', { query: '?raw', import: 'default', eager: true });
const known = new Map(Object.entries(views).map(([path, svg]) => [nameOf(path), bare(svg)]));

/** drawing returns the SVG text of a drawing that is at hand, or ''. */
export function drawing(name: string): string {
  return known.get(name) ?? '';
}

/** fetchDrawing returns the SVG text of any drawing, or '' when there is none of that name. */
export async function fetchDrawing(name: string): Promise<string> {
  if (!known.has(name) && name !== '') {
    const { more } = await import('./more-drawings');
    for (const [key, svg] of more) known.set(key, svg);
  }
  return drawing(name);
}

const forms: Record<string, string> = {
  gilled: 'form-gilled', gilled_shell: 'form-shell', bolete: 'form-bolete', pored_stalked: 'form-bolete',
  bracket: 'form-bracket', half_bracket: 'form-bracket', crust: 'form-crust', chanterelle: 'form-funnel',
  spined_stalked: 'form-spined', spined_hanging: 'form-spined', club: 'form-club', coral: 'form-coral',
  rosette: 'form-rosette', cup: 'form-cup', saddle_brain: 'form-saddle', honeycomb: 'form-honeycomb',
  hard_stroma: 'form-flask', puffball: 'form-ball', earthball: 'form-ball', earthstar: 'form-star',
  stalked_puffball: 'form-ball', stinkhorn: 'form-stinkhorn', birds_nest: 'form-cup', jelly: 'form-jelly',
  truffle: 'form-ball', plant_parasite: 'form-leaf',
};

/** drawingOfForm names the drawing of a form's state, '' when none is drawn. */
export function drawingOfForm(state: string): string {
  if (state.startsWith('lichen')) return 'form-lichen';
  if (state.startsWith('slime')) return 'form-slime';
  return Object.hasOwn(forms, state) ? forms[state]! : '';
}
