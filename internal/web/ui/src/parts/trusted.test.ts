import { expect, test } from 'vitest';
import { drawn, markup, ours, script } from './trusted';

test('a drawing becomes markup as it is', () => {
  const svg = '<svg viewBox="0 0 4 4"><path d="M0 0L4 4"/></svg>';
  expect(drawn(svg)).toBe(svg);
  expect(markup('')).toBe('');
});

test('what could act is no drawing', () => {
  for (const bad of ['<b>oak</b>', '<svg><script>1</script></svg>', '<svg onload="x()"></svg>', '<svg><a href="//elsewhere"/></svg>', '<svg><foreignObject/></svg>', 'oak <svg></svg>']) {
    expect(() => drawn(bad), bad).toThrow(TypeError);
  }
});

test('a script of ours may run, and no other', () => {
  expect(script('/assets/checks.worker-AbC_12.js')).toBe('/assets/checks.worker-AbC_12.js');
  for (const bad of ['https://elsewhere.example/assets/x.js', '//elsewhere/assets/x.js', '/assets/../api/x.js', '/api/photographs/1/original', 'blob:x', 'data:text/javascript,1', '/assets/x.svg']) {
    expect(() => ours(bad), bad).toThrow(TypeError);
  }
});

// Text of people reaches the screen as text: the one door for markup is the line drawing.
test('no component makes markup of anything but a line drawing', () => {
  const sources = import.meta.glob<string>(['../**/*.svelte', '../**/*.ts', '!../**/*.test.ts'], { query: '?raw', import: 'default', eager: true });
  expect(Object.keys(sources).length).toBeGreaterThan(100);
  for (const [file, text] of Object.entries(sources)) {
    for (const door of text.match(/\{@html [^}]*\}/g) ?? []) expect(door, file).toMatch(/^\{@html markup\([\w.]+\)\}$/);
    expect(text, file).not.toMatch(/\.(innerHTML|outerHTML)\s*=|insertAdjacentHTML|document\.write|\beval\(|new Function\(|srcdoc/);
  }
});

test('the service worker is the one script outside the assets', () => {
  expect(script('/sw.js')).toBe('/sw.js');
  for (const bad of ['//elsewhere/sw.js', '/sw.js?x', 'data:text/javascript,1', '/api/x', '']) expect(() => ours(bad), bad).toThrow(TypeError);
});
