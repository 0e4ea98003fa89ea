import { expect, test } from 'vitest';
import { decimalPlace } from './place-typed';

test('decimal degrees are read out of reach, as unsure as they are written', () => {
  const p = decimalPlace(' 48.58420, 10.13110 ')!;
  expect([p.lat, p.lon]).toEqual([48.5842, 10.1311]);
  // Chapman & Wieczorek 2020, table 3: 0.00001 degrees is 1.57 m at the equator and 1.44 m at 30 degrees, 0.01 degrees 1.57 km.
  expect(decimalPlace('0.00000 0.00000')!.uncertainty).toBe(2);
  expect(decimalPlace('0.01; 0.01')!.uncertainty).toBeGreaterThanOrEqual(1570);
  expect(decimalPlace('0.01; 0.01')!.uncertainty).toBeLessThan(1590);
  expect(decimalPlace('-48.5 -170.25')).toMatchObject({ lat: -48.5, lon: -170.25 });
});

test.each(['', '48.5', '91.0, 10.0', '48.5, 181', '32UPV123456', '48°35′N 10°07′E', '48,5842, 10,1311', '1e1, 2'])('%j is not read', (text) => expect(decimalPlace(text)).toBeNull());
