import { expect, it } from 'vitest';
import { drawing, drawingOfForm, fetchDrawing } from './drawings';
import { more } from './more-drawings';
import { views } from './words';

it('has a drawing at hand for every view', () => {
  for (const v of views) expect(drawing(v.drawing), v.kind).toMatch(/^<svg[^>]* viewBox="0 0 96 96"/);
});

it('has a drawing for every step of taking a view', async () => {
  for (const v of views) for (const [name] of [...(v.steps ?? []), ...(v.doing?.steps ?? [])]) expect(await fetchDrawing(name), name).toMatch(/^<svg/);
});

it('brings the others when they are asked for, and none for a name it does not know', async () => {
  expect(await fetchDrawing('form-coral')).toMatch(/^<svg/);
  expect(await fetchDrawing('nothing')).toBe('');
});

it('draws every form that it names', async () => {
  // Forms of the descriptive vocabulary, one of each drawing and of each family.
  for (const state of ['gilled', 'gilled_shell', 'bolete', 'crust', 'coral', 'saddle_brain', 'lichen_leaf', 'slime_veins', 'plant_parasite', 'stinkhorn']) {
    expect(await fetchDrawing(drawingOfForm(state)), state).toMatch(/^<svg/);
  }
  expect(drawingOfForm('no such form')).toBe('');
  expect(drawingOfForm('constructor')).toBe('');
});

it('uses no inline style and no address, which the content policy forbids', () => {
  for (const svg of more.values()) expect(svg).not.toMatch(/style=|href=|url\(/);
});
