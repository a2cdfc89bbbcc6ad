/** How many times smaller than the subject the finished figure is: 4 for `1:4`. */
export const ratioOf = (finished: string | null): number | null =>
  finished === null ? null : Number(finished.slice(2));
