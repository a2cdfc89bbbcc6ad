/** Told wherever top-ups are planned. Common sense about liquid resin and a machine that moves; the data sheet and the manual decide. */
export const topUpCaution =
  'Pause the machine and wait until the plate stands still before you open it. Pour the same resin slowly at the edge, shaken and warm as the rest, and never above the mark of the vat. Gloves, eye protection and fresh air, as the safety data sheet of the resin says. Whether the machine may run while nobody is there is for its manual and the rules of your place.';
