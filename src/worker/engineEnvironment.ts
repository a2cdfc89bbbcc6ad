/**
 * Large arrays take their pages two megabytes at a time: a mesh's first writing costs a fraction of it. All
 * threads take smaller blocks, of up to 32 MiB (the most glibc allows), from one heap, so that what a stage
 * or a compiled function gives back is written again by the next one instead of fetched anew: a seventh of a check.
 */
const allocation = [
  'glibc.malloc.hugetlb=1',
  'glibc.malloc.arena_max=1',
  `glibc.malloc.mmap_threshold=${32 * 2 ** 20}`,
];

/**
 * The engine's environment. What glibc is told has to be there before the process starts; other
 * systems do not look at it. A builder's own tunables come last and so prevail.
 */
export function engineEnvironment(own: NodeJS.ProcessEnv): NodeJS.ProcessEnv {
  const tunables = [...allocation, own['GLIBC_TUNABLES']].filter((tunable) => tunable);
  return { ...own, GLIBC_TUNABLES: tunables.join(':') };
}
