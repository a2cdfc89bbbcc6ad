/** Takes the pages of large arrays two megabytes at a time: a mesh's first writing costs a fraction of it. */
const hugePages = 'glibc.malloc.hugetlb=1';

/**
 * The engine's environment. What glibc is told has to be there before the process starts; other
 * systems do not look at it. A builder's own tunables come last and so prevail.
 */
export function engineEnvironment(own: NodeJS.ProcessEnv): NodeJS.ProcessEnv {
  const tunables = [hugePages, own['GLIBC_TUNABLES']].filter((tunable) => tunable);
  return { ...own, GLIBC_TUNABLES: tunables.join(':') };
}
