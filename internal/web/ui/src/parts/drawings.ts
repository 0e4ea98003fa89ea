/** The line drawings, inlined so that they take the colour of the text. */
const sources = import.meta.glob<string>('../drawings/*.svg', { query: '?raw', import: 'default', eager: true });

const byName = new Map(
  Object.entries(sources).map(([path, svg]) => [
    path.replace(/^.*\/|\.svg$/g, ''),
    // The title is for the file alone: beside its words a drawing is decoration.
    svg.replace(/<title>[^<]*<\/title>\s*/, '').trim(),
  ]),
);

/** drawing returns the SVG text of a drawing, or '' when there is none of that name. */
export function drawing(name: string): string {
  return byName.get(name) ?? '';
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
  return forms[state] ?? '';
}
