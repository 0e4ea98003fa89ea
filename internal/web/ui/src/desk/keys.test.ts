import { describe, expect, it } from 'vitest';
import { deedOf, keysOn, switchKeys, takesLetters } from './keys';

const press = (key: string, more = {}) => deedOf({ key, ctrlKey: false, metaKey: false, altKey: false, ...more });

describe('keys of the table', () => {
  it('do what the list says, with and without caps lock', () => {
    expect([press('n'), press('N'), press('b'), press('?'), press('L')]).toEqual(['next', 'next', 'back', 'keys', 'loupe']);
    expect(press('3')).toEqual({ view: 2 });
    expect(press('w')).toEqual({ qualifier: 'cf.' });
    expect([press('k'), press('c'), press('u'), press('v')]).toEqual(['key', 'character', 'undo', 'compare']);
  });
  it('leave the browser its own keys', () => {
    expect(press('n', { ctrlKey: true })).toBeNull();
    expect(press('f', { metaKey: true })).toBeNull();
    expect(press('b', { altKey: true })).toBeNull();
    expect(press('n', { isComposing: true })).toBeNull();
    expect([press('0'), press('x'), press('Enter')]).toEqual([null, null, null]);
  });
  it('toggle nothing when held down', () => {
    expect(press('l', { repeat: true })).toBeNull();
    expect(press('n', { repeat: true })).toBe('next');
  });
  it('know where somebody types', () => {
    expect(takesLetters({ tagName: 'INPUT', type: 'text' })).toBe(true);
    expect(takesLetters({ tagName: 'INPUT', type: 'radio' })).toBe(false);
    expect(takesLetters({ tagName: 'TEXTAREA' })).toBe(true);
    expect(takesLetters({ tagName: 'SELECT' })).toBe(true);
    expect(takesLetters({ tagName: 'BUTTON' })).toBe(false);
    expect(takesLetters(null)).toBe(false);
  });
  it('can be switched off, and stay off', () => {
    const kept = new Map<string, string>();
    const store = {
      getItem: (k: string) => kept.get(k) ?? null,
      setItem: (k: string, v: string) => void kept.set(k, v),
      removeItem: (k: string) => void kept.delete(k),
    };
    expect(keysOn(store)).toBe(true);
    switchKeys(store, false);
    expect(keysOn(store)).toBe(false);
    switchKeys(store, true);
    expect(keysOn(store)).toBe(true);
  });
});
