import { expect, it } from 'vitest';
import { pieces } from './ground';

// The shapes of RFC 7946, section 3.1.
const feature = (kind: string, type: string, coordinates: unknown) => ({ type: 'Feature', properties: { kind, name: kind }, geometry: { type, coordinates } });

it('reads every geometry it draws and lays them from the bottom up', () => {
  const read = pieces({
    type: 'FeatureCollection',
    features: [
      feature('label', 'Point', [1, 2]),
      feature('road', 'LineString', [[0, 0], [1, 1]]),
      feature('wood', 'MultiPolygon', [[[[0, 0], [1, 0], [1, 1], [0, 0]]], [[[5, 5], [6, 5], [6, 6], [5, 5]]]]),
      feature('sea', 'Polygon', [[[0, 0], [1, 0], [1, 1], [0, 0]]]),
      feature('odd', 'GeometryCollection', []),
      { type: 'Feature', properties: null, geometry: null },
    ],
  });
  expect(read.map((p) => [p.kind, p.closed, p.lines.length])).toEqual([['sea', true, 1], ['wood', true, 2], ['road', false, 1], ['label', false, 1]]);
});
it('takes an empty season for what it is', () => {
  expect(pieces({ type: 'FeatureCollection', features: [] })).toEqual([]);
  expect(pieces(null)).toEqual([]);
  expect(pieces('nonsense')).toEqual([]);
});
