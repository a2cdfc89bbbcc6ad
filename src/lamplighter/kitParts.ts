import { writeBinaryStl } from '../core/mesh/writeStl.ts';
import { carveMesh } from './carveMesh.ts';
import { inOnePiece } from './inOnePiece.ts';
import { loweredArm, raisedArm } from './parts/arms.ts';
import { cap, head } from './parts/head.ts';
import { base, ladder, lantern, oilCan, pebble, satchel } from './parts/props.ts';
import { boots, skirt } from './parts/skirt.ts';
import { torso } from './parts/torso.ts';
import { insideOut, pinholes, torn } from './spoil.ts';

/**
 * The STL files of the demo kit by file name, with the faults a sculptor's delivery has. All parts
 * stand in one figure's coordinates: 130 units from sole to crown, z up, facing −y. Same bytes
 * every time.
 */
export const kitParts: Readonly<Record<string, () => Uint8Array>> = {
  'torso.stl': () => writeBinaryStl(carveMesh(torso())),
  'coat-skirt.stl': () => writeBinaryStl(carveMesh(skirt())),
  'boots.stl': () => writeBinaryStl(pinholes(carveMesh(boots()), 6)),
  'head.stl': () => writeBinaryStl(inOnePiece(carveMesh(head()))),
  'cap.stl': () => writeBinaryStl(insideOut(carveMesh(cap()))),
  'raised-arm.stl': () => writeBinaryStl(carveMesh(raisedArm())),
  'lowered-arm.stl': () => writeBinaryStl(carveMesh(loweredArm())),
  'lantern.stl': () => writeBinaryStl(carveMesh(lantern())),
  'ladder.stl': () => writeBinaryStl(carveMesh(ladder())),
  'base.stl': () => writeBinaryStl(carveMesh([...base(), pebble()])),
  'oil-can.stl': () => writeBinaryStl(torn(carveMesh(oilCan()), 17)),
  'satchel.stl': () => brokenOff(writeBinaryStl(carveMesh(satchel()))),
};

/** A download that stopped: the header still counts every triangle. */
function brokenOff(bytes: Uint8Array): Uint8Array {
  return bytes.slice(0, Math.floor(bytes.length * 0.4));
}
