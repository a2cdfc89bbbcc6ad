/** Why a text cannot be a file inside the kit folder, or null when it can. */
export function fileFault(file: string): string | null {
  if (file === '') return 'is empty';
  if (file.length > 250) return 'is longer than 250 characters';
  if (/\p{Cc}/u.test(file)) return 'has a control character';
  if (file.includes('\\')) return 'has a backslash; write / between folders';
  if (file.startsWith('/') || /^[a-z]+:/i.test(file)) {
    return 'is not inside the kit folder; give it relative to kit.yaml, as parts/name.stl';
  }
  return leavesFolder(file) ? 'leaves the kit folder; copy the file into parts/' : null;
}

function leavesFolder(file: string): boolean {
  let depth = 0;
  for (const step of file.split('/')) {
    if (step === '..') depth--;
    else if (step !== '.' && step !== '') depth++;
    if (depth < 0) return true;
  }
  return depth === 0;
}

const reservedOnWindows = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;

/** Why a text cannot name a part (its ready file bears the name), or null when it can. */
export function partNameFault(name: string): string | null {
  if (name.length > 80) return 'is longer than 80 characters';
  if (!/^[\p{L}\p{N}][\p{L}\p{M}\p{N} _.-]*$/u.test(name) || /[ .]$/.test(name)) {
    return 'must be letters, digits, spaces, - _ and . , starting with a letter or digit';
  }
  return reservedOnWindows.test(name) ? 'is a reserved file name' : null;
}

/** Why a text cannot name a resin, or null when it can. */
export function resinNameFault(name: string): string | null {
  if (name.trim() === '') return 'is empty';
  if (name.length > 80) return 'is longer than 80 characters';
  return /\p{Cc}/u.test(name) ? 'has a control character' : null;
}
