import type { Severity } from './finding.ts';

/**
 * Every finding Kitwright can make: its severity, one line on what it means, and where its limit
 * comes from. Codes are stable. README.md has a section of the same name for each (a test keeps it).
 * An error says that the print, or the check itself, is expected to fail; a warning that it may;
 * an info that something was decided or mended which the builder should know.
 */
export interface FindingEntry {
  readonly severity: Severity;
  readonly title: string;
  readonly basis: string;
}

const practice = 'common practice, no source';
const choice = 'engineering choice, no source';

export const findingTable = {
  'manifest-missing': {
    severity: 'error',
    title: 'The kit folder has no kit.yaml that can be read.',
    basis: 'the kit folder',
  },
  'yaml-invalid': {
    severity: 'error',
    title: 'The manifest is not valid YAML at this place.',
    basis: 'YAML 1.2',
  },
  'key-unknown': {
    severity: 'warning',
    title: 'The manifest has a key that Kitwright does not know, so it has no effect.',
    basis: 'the manifest’s schema',
  },
  'value-out-of-range': {
    severity: 'error',
    title: 'A value has the wrong type or lies outside its range; the default is used instead.',
    basis: 'the manifest’s schema',
  },
  'scale-missing': {
    severity: 'error',
    title: 'The manifest does not say, or says twice, how large the kit is to be printed.',
    basis: 'the manifest’s schema',
  },
  'scale-disagrees': {
    severity: 'warning',
    title: 'A known length gives another factor than the others, beyond what all of them are uncertain by.',
    basis: 'two standard deviations of the difference, common practice, no source',
  },
  'units-doubtful': {
    severity: 'warning',
    title:
      'The kit is the size of no figure at its scale, and would be if its STL files were in other units.',
    basis: '1 inch = 25.4 mm; a figure of 1.2 to 2.6 m with its base, engineering choice, no source',
  },
  'part-off-scale': {
    severity: 'warning',
    title: 'A head, a hand or a foot is larger or smaller than any adult’s at the scale of the kit.',
    basis:
      'published means with two standard deviations, see scale.from.measure; how much hangs on such a part, engineering choice, no source',
  },
  'resin-unknown': {
    severity: 'error',
    title: 'A part asks for a resin that the manifest does not describe.',
    basis: 'the manifest',
  },
  'cut-unknown': {
    severity: 'error',
    title: 'A part is half of a cut that the manifest does not describe.',
    basis: 'the manifest',
  },
  'file-missing': {
    severity: 'error',
    title: 'The part’s STL file is not there.',
    basis: 'the kit folder',
  },
  'file-unreadable': {
    severity: 'error',
    title: 'The part’s file is there but cannot be read as an STL.',
    basis: 'binary STL: 84 + 50·n bytes; ASCII STL: facet and vertex words',
  },
  'engine-failed': {
    severity: 'error',
    title: 'The part could not be checked to the end.',
    basis: 'the engine’s own limits',
  },
  'outside-plate': {
    severity: 'error',
    title: 'The part as turned is larger than the plate less its margin.',
    basis: 'the builder’s machine: machine.plate, machine.margin',
  },
  'too-tall': {
    severity: 'error',
    title: 'The part as turned and raised is higher than the machine can print.',
    basis: 'the builder’s machine: machine.height',
  },
  'cut-misses': {
    severity: 'error',
    title: 'A planned cut does not pass through the part.',
    basis: 'geometry: all of the part lies on one side of the plane',
  },
  'key-without-room': {
    severity: 'warning',
    title: 'A key of a planned cut has no room in the section and is left out.',
    basis: 'geometry: cuts.*.key.wall of solid round its socket',
  },
  'not-watertight': {
    severity: 'error',
    title: 'The surface is not closed and could not be mended, so volumes and hollows are not dependable.',
    basis: '3MF Core Specification 1.4.0, section 4.1: every edge belongs to exactly two triangles',
  },
  'mesh-repaired': {
    severity: 'info',
    title: 'The mesh had faults that were mended before the check.',
    basis: '3MF Core Specification 1.4.0, section 4.1',
  },
  'inside-out': {
    severity: 'warning',
    title: 'The whole mesh was inside out and has been turned.',
    basis: '3MF Core Specification 1.4.0, section 4.1: normals point outward',
  },
  'doubled-wall': {
    severity: 'warning',
    title: 'The surface stands twice, near-parallel and closer than a wall.',
    basis: 'winding number 2 and near-parallel facets within one wall',
  },
  'loose-shell': {
    severity: 'warning',
    title: 'The part consists of pieces that do not touch.',
    basis: 'shells that neither touch, overlap nor enclose each other',
  },
  'too-thin-to-hollow': {
    severity: 'warning',
    title: 'No point of the part lies deep enough for the wall asked, so it stays solid.',
    basis: `limits.least-chamber, ${choice}`,
  },
  'chamber-left-solid': {
    severity: 'info',
    title: 'Hollows too small to be worth opening were left solid.',
    basis: `limits.least-chamber, ${choice}`,
  },
  'wall-thin': {
    severity: 'warning',
    title: 'A sheet of the sculpt, or the wall round a hollow, is thinner than prints well.',
    basis: 'limits.least-wall, two print bureaus’ SLA guides: 0.6 mm for a wall without support',
  },
  'lump-solid': {
    severity: 'warning',
    title: 'A hollow part has a thick lump where a small hollow was left solid.',
    basis: `limits.lump, ${choice}`,
  },
  'thin-web': {
    severity: 'warning',
    title: 'Solid between two hollows, or two folds of one, is thinner than holds.',
    basis: 'limits.least-wall, two print bureaus’ SLA guides: 0.6 mm for a wall without support',
  },
  'spike-inside': {
    severity: 'warning',
    title: 'A thin fin or needle of solid reaches into the hollow with a free end.',
    basis: 'limits.least-wall, two print bureaus’ SLA guides: 0.6 mm for a wall without support',
  },
  'loose-inside': {
    severity: 'error',
    title: 'A piece of solid lies in a hollow and nothing holds it.',
    basis: 'geometry: a closed piece of the cavity’s surface with solid inside it',
  },
  'keep-solid-idle': {
    severity: 'warning',
    title: 'A region to be kept solid lies where nothing would be hollow, so it does nothing.',
    basis: 'geometry: less than 1 mm³ of hollow within it',
  },
  'chamber-without-opening': {
    severity: 'error',
    title: 'A chamber has no opening: resin stays in it for good.',
    basis: practice,
  },
  'single-opening': {
    severity: 'warning',
    title: 'A chamber has one opening only, or all at one height: air cannot get in as resin runs out.',
    basis:
      'stability of a liquid surface in a round hole (Rayleigh–Taylor), from memory; two openings are common practice',
  },
  'opening-misses-chamber': {
    severity: 'error',
    title: 'An opening ends before it reaches a chamber.',
    basis: 'geometry',
  },
  'opening-through': {
    severity: 'error',
    title: 'An opening is drilled into or through the far side of the part.',
    basis: 'geometry',
  },
  'opening-off-surface': {
    severity: 'error',
    title: 'An opening lies more than 2 mm from the surface.',
    basis: 'the manifest’s contract: `at` snaps to the surface within 2 mm in print',
  },
  'opening-near-wall': {
    severity: 'warning',
    title: 'An opening stands closer to a side wall of its chamber than its radius.',
    basis: practice,
  },
  'chamber-filled': {
    severity: 'info',
    title: 'A chamber is to be filled or lined after printing.',
    basis: 'parts.*.fill and parts.*.coat, the builder’s own densities',
  },
  'opening-on-show-side': {
    severity: 'warning',
    title: 'A vent or a drain has its mouth on the show side.',
    basis: 'the builder’s own outlines: parts.*.show',
  },
  'resin-trapped': {
    severity: 'info',
    title: 'Liquid resin stays in a chamber while the part hangs from the plate.',
    basis: `limits.trapped, ${choice}; priority flood after Barnes et al. 2014`,
  },
  'liquid-trapped': {
    severity: 'warning',
    title: 'Liquid stays in a chamber as the part is held for the wash.',
    basis: `limits.left, ${choice}; priority flood after Barnes et al. 2014, surface tension by Young–Laplace`,
  },
  'hard-to-rinse': {
    severity: 'warning',
    title: 'Part of a chamber is reached only by ways too narrow or too long for a rinse.',
    basis: `limits.rinse-way, limits.rinse-reach and limits.unrinsed, ${choice}`,
  },
  'hard-to-cure': {
    severity: 'warning',
    title: 'Part of a chamber lies out of sight of every opening, so that no lamp cures its walls.',
    basis: `limits.lamp, limits.lamp-reach and limits.unlit, ${choice}`,
  },
  'sealed-cup': {
    severity: 'error',
    title: 'A cup stays sealed for more layers than it may.',
    basis: `limits.sealed-layers, ${practice}`,
  },
  'breathes-late': {
    severity: 'warning',
    title: 'A cup is open, but one of its limbs pulls above the limit for too long.',
    basis: `limits.breathe-layers, ${practice}; limits.suction, ${choice}`,
  },
  'pull-high': {
    severity: 'error',
    title: 'The pull on a layer is above the limit.',
    basis: `limits.pull, ${choice}; film.peel is an assumption until calibrated`,
  },
  'starts-in-air': {
    severity: 'error',
    title: 'A region of a layer starts on nothing.',
    basis: 'geometry: no overlap with solid in the layer below',
  },
  'island-unheld': {
    severity: 'error',
    title: 'A region starts in air, and no planned support gets to it.',
    basis: 'geometry: no strut leaning 45° at most comes there from within the plate',
  },
  'tip-overloaded': {
    severity: 'error',
    title: 'A tip of the planned supports would tear under the pull of a layer.',
    basis:
      'tips as one section (Timoshenko, Strength of Materials); resins.*.green-strength, film.peel and supports.safety',
  },
  'hold-weak': {
    severity: 'error',
    title: 'The plate would let go of what stands on it under the pull of a layer.',
    basis: `supports.plate-hold, ${choice}; film.peel is an assumption until calibrated`,
  },
  'raft-meets-part': {
    severity: 'warning',
    title: 'The part is raised by less than its raft is thick.',
    basis: 'geometry: parts.*.raise against supports.raft',
  },
  'raft-outside': {
    severity: 'warning',
    title: 'The raft of the planned supports leaves the plate, or would if all were held that must be.',
    basis: 'geometry: feet as large as plate-hold asks, their leaning edge, machine.plate and machine.margin',
  },
  'support-idle': {
    severity: 'warning',
    title: 'A support placed by hand holds nothing.',
    basis: 'geometry: no underside within 2 mm of it, another in its place, or no way for its strut',
  },
  'strut-slender': {
    severity: 'warning',
    title: 'A strut of the planned supports may buckle on the way down.',
    basis: 'Euler 1744, hinged ends, over the free length between ties; resins.*.green-modulus',
  },
  'tip-on-show-side': {
    severity: 'warning',
    title: 'A tip of the planned supports touches the show side.',
    basis: 'the builder’s own outlines: parts.*.show',
  },
  'needs-supports': {
    severity: 'warning',
    title: 'The part is raised above the plate and its first regions need supports.',
    basis: 'geometry',
  },
  'contact-cut': {
    severity: 'warning',
    title: 'Openings cut away all of the layer by which the part stands on the plate.',
    basis: 'geometry',
  },
  'large-ceiling': {
    severity: 'warning',
    title: 'A wide region closes over void, held only at its rim while it is printed.',
    basis: `limits.ceiling and limits.ceiling-span, ${choice}, between the 1 mm overhang and 21 mm bridge of a print bureau’s SLA guide`,
  },
  'area-jump': {
    severity: 'warning',
    title: 'The printed area grows suddenly from one layer to the next.',
    basis: `limits.area-jump and limits.area-jump-mm2, ${choice}`,
  },
  'wall-flexes': {
    severity: 'error',
    title: 'A wall of a hollow is stressed, or bends, more than it may as it is printed.',
    basis: `resins.*.green-strength with factor 1; limits.wall-flex, ${choice}; plates, tubes and spheres after Timoshenko & Woinowsky-Krieger, Zoelly 1915, Windenburg & Trilling 1934, from memory`,
  },
  'vat-runs-low': {
    severity: 'warning',
    title: 'The vat, filled once, falls under its least safe level before the part is done.',
    basis: 'the builder’s machine: machine.vat, machine.resin-depth, machine.least-resin-depth',
  },
  'plate-part-unknown': {
    severity: 'error',
    title: 'A plate names a part that the kit does not have, or the same part twice.',
    basis: 'the manifest',
  },
  'plate-overfull': {
    severity: 'error',
    title: 'Not all parts of a plate find room on it.',
    basis: 'the builder’s machine: machine.plate, machine.margin; plates.*.gap',
  },
  'plate-overlap': {
    severity: 'error',
    title: 'Two parts that were placed by hand lie over each other, or stand nearer than the gap.',
    basis: 'geometry: plates.*.parts against plates.*.gap',
  },
  'plate-outside': {
    severity: 'error',
    title: 'A part that was placed by hand reaches over the margin of its plate.',
    basis: 'the builder’s machine: machine.plate, machine.margin',
  },
  'plate-pull-high': {
    severity: 'error',
    title: 'The parts of a plate together pull hard in one layer.',
    basis: `limits.pull, ${choice}; film.peel is an assumption until calibrated`,
  },
  'joint-clash': {
    severity: 'warning',
    title: 'Two parts take the same space where they meet: they do not go together as they are.',
    basis: `geometry: parts in the sculptor’s assembled place; limits.joint-clash, ${choice}`,
  },
  'joint-tight': {
    severity: 'warning',
    title: 'The faces of a joint slide past each other with too little gap for a print.',
    basis: 'limits.joint-tight, common practice, no source: 0.1 to 0.2 mm on each side of a key',
  },
  'joint-may-bind': {
    severity: 'info',
    title: 'A joint fits as drawn, but may come out too tight: its parts’ resin is not calibrated.',
    basis:
      'geometry of shrinkage by pose; limits.possible-shrinkage and limits.possible-spread, common practice, no source',
  },
  'joint-loose': {
    severity: 'warning',
    title: 'The faces of a joint stand too far from each other to hold.',
    basis:
      'limits.joint-loose, common practice, no source: up to 0.3 mm on each side of painted or large parts',
  },
  'clearance-thins-wall': {
    severity: 'warning',
    title: 'What is cut away for the clearance of a joint leaves a thin wall to the hollow.',
    basis:
      'the builder’s figures: wall, joints.*.clearance; limits.least-wall, two print bureaus’ SLA guides: 0.6 mm for a wall without support',
  },
  'joint-unfound': {
    severity: 'warning',
    title: 'The manifest decides about a joint of parts that are not there or do not meet.',
    basis: 'geometry: limits.joint-reach',
  },
  'pin-weak': {
    severity: 'warning',
    title: 'The pin of a joint bends, or presses too hard on its sockets, under what hangs on it.',
    basis:
      'bending of a round rod (Euler–Bernoulli), handbook yields; joints.*.pin.safety and handling, engineering choice, no source; resins.*.green-strength',
  },
  'figure-tips-over': {
    severity: 'warning',
    title: 'The figure, put together, falls over when what it stands on is tilted a little.',
    basis:
      'geometry: the weight of all parts above their footing; limits.tip-angle, from memory after IEC 60335-1, clause 20',
  },
  'resin-short': {
    severity: 'warning',
    title: 'The kit needs more resin than is on hand.',
    basis: `resins.*.on-hand; resins.*.waste, ${practice}`,
  },
  'resin-changes': {
    severity: 'warning',
    title: 'A resin ends within a print, and another has to follow it in the vat.',
    basis:
      'resins.*.on-hand; the builder’s machine: machine.vat, machine.resin-depth, machine.least-resin-depth',
  },
  'light-part-unknown': {
    severity: 'error',
    title: 'A light runs through a part that the kit does not have.',
    basis: 'the manifest',
  },
  'light-breaks': {
    severity: 'warning',
    title: 'A light never enters one of its parts, or runs bare between two of them.',
    basis: `geometry: lights.*.path against limits.light-gap, ${choice}`,
  },
  'light-bends-tight': {
    severity: 'warning',
    title: 'A light bends more tightly than what lies in it may.',
    basis:
      'lights.*.carries.bend-radius; else fibre 15 diameters (US Federal Standard 1037C), cable 5 (NEC 334.24, from memory)',
  },
  'light-wall-thin': {
    severity: 'warning',
    title: 'Too little solid stands between a light and the outside, or a hollow.',
    basis: `lights.*.lining, ${practice}`,
  },
  'light-meets-opening': {
    severity: 'warning',
    title: 'A light runs into a vent, a drain or a tube, or too near to it.',
    basis: `geometry: lights.*.lining, ${practice}`,
  },
  'lights-cross': {
    severity: 'warning',
    title: 'Two lights run into each other in a part, or too near to each other.',
    basis: `geometry: the wider of the two lights.*.lining, ${practice}`,
  },
  'light-holds-resin': {
    severity: 'warning',
    title: 'Resin stays in a light’s tube while the part hangs.',
    basis: `geometry: the tube’s sills as printed; 0.05 ml, ${choice}`,
  },
  'light-tight': {
    severity: 'warning',
    title: 'A light’s tube is too narrow for what must go through it.',
    basis:
      'lights.*.carries, connector and leds.size; 53, 31 or 40 % filled (NEC chapter 9, table 1, from memory)',
  },
  'led-voltage-low': {
    severity: 'warning',
    title: 'What arrives at the LEDs of a light is less than they need.',
    basis: 'lights.*.leds; copper after ASTM B258 and IEC 60028 at 75 °C',
  },
  'led-wire-thin': {
    severity: 'warning',
    title: 'The wires of a light lose much voltage, or carry more than they may.',
    basis:
      'limits.led-drop (NEC 210.19(A), informational note, from memory); 700 circular mils an ampere, handbook rule, from memory',
  },
  'led-heat': {
    severity: 'warning',
    title: 'The LEDs of a light make much heat in the figure.',
    basis: `limits.led-heat, ${choice}`,
  },
} as const satisfies Record<string, FindingEntry>;

export type FindingCode = keyof typeof findingTable;
