/** The exit codes of every command (contract). */
export const exitCodes = { clean: 0, errorsFound: 1, couldNotRun: 2, cancelled: 130 } as const;

export type ExitCode = (typeof exitCodes)[keyof typeof exitCodes];
