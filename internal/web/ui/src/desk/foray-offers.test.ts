import { describe, expect, it } from 'vitest';
import { beginning, type Offer } from './foray-offers.svelte';

const offers: Offer[] = ['Leaf litter', 'Needle litter', 'Living tree or shrub', 'Stump', 'Soil', 'Buried wood or roots'].map((value) => ({ value, beside: '' }));

describe('beginning', () => {
  it.each([['l', ['Leaf litter', 'Living tree or shrub', 'Needle litter']], ['LITT', ['Leaf litter', 'Needle litter']], ['wood or', ['Buried wood or roots']], ['x', []], ['s', ['Stump', 'Soil', 'Living tree or shrub']]])(
    '%j offers %j',
    (typed, values) => expect(beginning(typed, offers).map((o) => o.value)).toEqual(values),
  );
  it('offers all for nothing typed', () => expect(beginning(' ', offers)).toEqual(offers));
  it('goes by what stands beside, such as a code', () =>
    expect(beginning('d2', [{ value: 'A. Wolfsbane-Smith', beside: 'D1' }, { value: 'P. Yarrow', beside: 'D2' }]).map((o) => o.value)).toEqual(['P. Yarrow']));
});
