/** When the builder can be at the machine, and what he does between two prints. */
export interface Attendance {
  /** Hours of the day; from 22 to 6 runs over midnight, equal ones are all day. */
  readonly fromHour: number;
  readonly toHour: number;
  /** From the end of a print to the start of the next. */
  readonly changeoverMin: number;
}

/** Hours are counted from a midnight; both ends count. */
export function isAttended(hours: number, { fromHour, toHour }: Attendance): boolean {
  if (fromHour === toHour) return true;
  const clock = clockOf(hours);
  const begun = clock >= fromHour - slackHours;
  const over = clock > toHour + slackHours;
  return fromHour < toHour ? begun && !over : begun || !over;
}

/** The same moment where somebody is there, else the next at which somebody comes. */
export function nextAttended(hours: number, attendance: Attendance): number {
  if (isAttended(hours, attendance)) return hours;
  const opens = hours - clockOf(hours) + attendance.fromHour;
  return opens >= hours ? opens : opens + 24;
}

/** Sums of hours miss a full hour by less. */
const slackHours = 1e-6;

const clockOf = (hours: number): number => ((hours % 24) + 24) % 24;
