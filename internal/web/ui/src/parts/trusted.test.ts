import { expect, test } from 'vitest';
import { drawn, markup } from './trusted';

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
