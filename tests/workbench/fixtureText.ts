/** A small kit with known faults: a hollow block without any opening, and a key that is misspelt. */
export const fixtureManifest = `# The lantern of The Lamplighter, as a test needs it.
kit: Lantern
scale: { finished: "1:4", factor: 1 }
machine:
  plate: [192, 120]
  height: 200
  layer: 0.1              # coarse on purpose
  vat: 350
resins:
  slate: { density: 1.12, viscosity: 300, on-hand: 900 }
defaults: { wall: 2, resin: slate }
parts:
  # the block that stands for the glass
  shade:
    file: parts/shade.stl # a block of 40 × 40 × 50 mm
    raise: 5
    walll: 2              # misspelt
    vents: []             # forgotten
  post:
    file: parts/post.stl
    raise: 5
    wall: solid
`;

/** What the builder writes instead of \`vents: []\`: two holes in the plate side, one in the film side. */
export const fixtureVents =
  'vents: [{ at: [-10, -10, -25], diameter: 12 }, { at: [10, 10, -25], diameter: 12 }, { at: [0, 0, 25], diameter: 8 }]';
