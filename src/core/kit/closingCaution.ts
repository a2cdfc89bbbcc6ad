/** Told wherever stoppers are made. Common sense about sealed liquid; the data sheets decide. */
export const closingCaution =
  'Close a hollow only when it is rinsed, dry and cured inside: liquid resin or solvent sealed in can leak, split the wall or build up pressure. The safety data sheets of both decide.';
