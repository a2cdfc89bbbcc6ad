import { expect } from 'vitest';
import { uninterrupted } from '../../src/core/interrupter.ts';
import { findDuplicates, findDuplicatesByHash } from '../../src/core/mesh/findDuplicates.ts';
import { labelByEdges, labelShells } from '../../src/core/mesh/labelShells.ts';
import { massProperties } from '../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../src/core/mesh/mesh.ts';
import { repairMesh } from '../../src/core/mesh/repairMesh.ts';
import { reportByEdges, reportTopology } from '../../src/core/mesh/topology.ts';
import { massFacetByFacet } from './massFacetByFacet.ts';
import { mendStepByStep } from './mendStepByStep.ts';

/** A look at a mesh nobody has looked at before: what is known of a mesh hangs on the object. */
export const afresh = ({ positions, triangles }: Mesh): Mesh => ({ positions, triangles });

/** Every figure and every bit that the closed surface spares the work for. */
export function expectLikeSlowTwins(mesh: Mesh, note = '') {
  const report = reportByEdges(mesh, uninterrupted);
  expect(reportTopology(afresh(mesh), uninterrupted), note).toEqual(report);
  const original = afresh(mesh);
  const slow = mendStepByStep(original);
  expect(findDuplicates(mesh), note).toEqual(findDuplicatesByHash(mesh));
  for (const volume of [undefined, report.signedVolume]) {
    const source = afresh(mesh);
    const quick = repairMesh(source, uninterrupted, volume);
    expect(quick, note).toEqual(slow);
    expect(quick.mesh === source, note).toBe(slow.mesh === original);
    expect(labelShells(quick.mesh), note).toEqual(labelByEdges(slow.mesh, uninterrupted));
  }
  expect(labelShells(afresh(mesh)), note).toEqual(labelByEdges(mesh, uninterrupted));
  expect(massProperties(mesh, uninterrupted), note).toEqual(massFacetByFacet(mesh));
}
