import { expect, it } from 'vitest';
import { openWarmStore } from '../../../src/worker/warmStore.ts';

const block = (bytes: number): SharedArrayBuffer => new SharedArrayBuffer(bytes);

it('gives the very block that was put, until the limit lets the one used longest ago go', () => {
  const store = openWarmStore(() => 100);
  const [a, b, c] = [block(40), block(40), block(40)];
  store.put('a', a);
  store.put('b', b);
  expect(store.take('a')).toBe(a);
  store.put('c', c);
  expect(store.take('b')).toBeNull();
  expect(store.take('a')).toBe(a);
  expect(store.take('c')).toBe(c);
});

it('counts a name once and takes nothing larger than the limit', () => {
  const store = openWarmStore(() => 100);
  for (let n = 0; n < 5; n++) store.put('same', block(60));
  store.put('small', block(40));
  expect(store.take('same')).not.toBeNull();
  expect(store.take('small')).not.toBeNull();
  store.put('huge', block(101));
  expect(store.take('huge')).toBeNull();
});

it('makes room when the limit sinks', () => {
  let limit = 100;
  const store = openWarmStore(() => limit);
  store.put('a', block(40));
  store.put('b', block(40));
  limit = 50;
  store.trim();
  expect([store.take('a'), store.take('b')].map((kept) => kept !== null)).toEqual([false, true]);
  limit = 0;
  store.trim();
  expect(store.take('b')).toBeNull();
});
