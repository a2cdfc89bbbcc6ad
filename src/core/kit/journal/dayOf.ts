/** The day of a moment where the person is, as 2026-11-03. */
export function dayOf(moment: Date): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${moment.getFullYear()}-${two(moment.getMonth() + 1)}-${two(moment.getDate())}`;
}
