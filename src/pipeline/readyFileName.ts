export const stopperSuffix = '-stoppers';
export const supportSuffix = '-supports';
export const proofSuffix = '-proof';
export const plateSuffix = '-plate';

/** `torso.stl`, `torso-mirrored.stl`, `torso-stoppers.stl`, `torso-mirrored-stoppers.stl`. */
export const readyFileName = (part: string, mirrored: boolean, suffix: string, format: string): string =>
  `${part}${mirrored ? '-mirrored' : ''}${suffix}.${format}`;
