/** The design's own manifest, as a builder writes it. */
export const lamplighter = `# The Lamplighter, second build
kit: The Lamplighter
scale:
  finished: "1:4"
  factor: 3.4                # print mm per source unit
machine:
  plate: [192, 120]          # mm
  height: 200                # mm
  layer: 0.05                # mm
  margin: 2                  # mm kept free at the plate's edge
  vat: 350                   # ml usable
  resin-depth: 15            # mm of resin above the film when full
  lift: { distance: 7, up: 60, down: 150 }     # mm, mm/min
  exposure: { base: 25, base-layers: 5, normal: 2.5 }  # s
resins:
  slate: { density: 1.12, viscosity: 300, on-hand: 900, price: 38 }
defaults: { wall: 1.5, resin: slate }
parts:
  torso:
    file: parts/torso.stl
    turn: [0, 0, 0]          # degrees about plate x, then y, then z
    raise: 5                 # mm from plate to lowest point
    wall: 1.5                # mm, or: solid
    vents:
      - { at: [12.1, -3.0, 8.4], diameter: 14, depth: 4 }     # by the belt
    drains: []
    tubes: []                # for wires and fibres
    show: []                 # show side
    resin: slate
  lantern:
    file: parts/lantern.stl
    wall: solid
    count: 2
`;
