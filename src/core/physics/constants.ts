import type { Assumption } from '../kit/manifest.ts';

/**
 * Every physical constant that is not a builder's value, with where it comes from. Mathematical
 * constants of one formula (a Bessel root, a series coefficient) stand in that formula's file.
 * What the builder can change (peel pressure, resin, limits) has its defaults in the manifest.
 */
export const constants = {
  gravity: {
    key: 'physics.gravity',
    value: 9.80665,
    unit: 'm/s²',
    basis: 'standard acceleration of free fall, 3rd CGPM 1901',
  },
  atmosphere: {
    key: 'physics.atmosphere',
    value: 101325,
    unit: 'Pa',
    basis: 'standard atmosphere, 10th CGPM 1954',
  },
  airViscosity: {
    key: 'physics.air-viscosity',
    value: 1.81e-5,
    unit: 'Pa·s',
    basis: 'air at 20 °C, from memory',
  },
  airDensity: { key: 'physics.air-density', value: 1.204, unit: 'kg/m³', basis: 'air at 20 °C, from memory' },
  discharge: {
    key: 'physics.discharge',
    value: 0.62,
    unit: '1',
    basis: 'sharp-edged orifice, from memory; published values for an unprofiled opening are 0.6 to 0.62',
  },
  sculptedBore: {
    key: 'physics.sculpted-bore',
    value: 1.5,
    unit: 'mm',
    basis:
      'length of a sculpted hole in a part that names no wall: the usual wall, common practice, no source',
  },
  poisson: {
    key: 'physics.poisson',
    value: 0.4,
    unit: '1',
    basis: 'Poisson’s ratio of glassy acrylates, 0.35 to 0.42, from memory',
  },
  sphereKnockDown: {
    key: 'physics.sphere-knock-down',
    value: 0.2,
    unit: '1',
    basis: 'share of the classical buckling pressure that a real sphere is trusted with, from memory',
  },
  tubeFreeEnd: {
    key: 'physics.tube-free-end',
    value: 0.6,
    unit: '1',
    basis:
      'share of a tube’s buckling pressure that is left when one end is free, EN 1993-1-6 annex D, from memory',
  },
} as const satisfies Record<string, Assumption>;

/**
 * What the loads of a part stand on beside the manifest's values, for the report: the constants that
 * `computePartLoads` uses and the choices of its model, so that no figure looks more certain than it is.
 */
export const loadAssumptions: readonly Assumption[] = [
  constants.atmosphere,
  constants.airViscosity,
  constants.airDensity,
  constants.discharge,
  constants.sculptedBore,
  {
    key: 'loads.demand',
    value: 'cup area × speed of the lift, in the stage in which the cup pulls most',
    unit: '',
    basis: 'upper bound: a film that bulges asks for less; engineering choice',
  },
  {
    key: 'loads.squeeze-depth',
    value:
      'chambers: local depth from floor to film, at most 10 mm; the rim closed, resin coming in at the openings as printed so far, each bringing what it can; no less than with an open rim at the greatest depth. Small limbs: level, fed through the widest opening at the worst place. Cups of the sculpt: mean depth and an open rim',
    unit: '',
    basis:
      'Reynolds’ equation for a thin film, solved on a grid; Stefan 1874 for the open rim; rigid floor and film; engineering choice',
  },
  {
    key: 'loads.necks',
    value:
      'lobes of a hollow joined by necks under 0.6 of the lesser one’s inscribed radius, each a bore of its own',
    unit: '',
    basis: 'Sampson 1891 and Hagen–Poiseuille as for openings; the share is an engineering choice, no source',
  },
  {
    key: 'loads.resin-level',
    value: 'full depth, no travel since separation',
    unit: '',
    basis:
      'conservative: the vat does not sink; a mouth counts as in air once its plate-side edge is above the surface',
  },
  {
    key: 'loads.layer-pull',
    value: 'peel + all suctions of the layer, at most one atmosphere over both areas',
    unit: '',
    basis: 'upper bound: the peaks need not coincide; engineering choice',
  },
  constants.poisson,
  constants.sphereKnockDown,
  constants.tubeFreeEnd,
  {
    key: 'loads.wall-pressure',
    value: 'the mean suction of a limb while it is open, on every wall that its void reaches',
    unit: '',
    basis: 'a sealed cup is a fault by itself; behind a neck the suction may be higher; engineering choice',
  },
  {
    key: 'loads.wall-panels',
    value: 'near-flat pieces held at their rims; curved pieces as parts of spheres and tubes',
    unit: '',
    basis: 'engineering choice; strength and stiffness as printed',
  },
  {
    key: 'loads.vat-level',
    value: 'falls in proportion to the resin taken from the vat',
    unit: '',
    basis: 'a vat with upright walls, filled once; engineering choice',
  },
];
