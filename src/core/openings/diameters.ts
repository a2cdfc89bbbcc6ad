/** Diameters that are proposed, mm: those of common drills. */
export const diametersMm = [2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20] as const;
