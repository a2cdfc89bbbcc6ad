export const usage = `kitwright: check, look into and make ready the parts of a resin figure kit

  kitwright start [FOLDER] [--json]
      Write a commented kit.yaml with a part for every STL file of a folder. Never over one that is there.
  kitwright check [KIT] [--part NAME]... [--against ledger] [--json]
      Measure every part of the kit folder and list what would go wrong in print.
      --against ledger fails where the ledger is out of date, a new finding included, and not for what it holds.
  kitwright record [KIT] [--json]
      Write what was computed into ledger.yaml, to be committed beside kit.yaml, and say what has changed.
  kitwright compare [KIT] [--from REVISION] [--to REVISION] [--json]
      What the ledger says otherwise than in a revision of git, HEAD without --from.
  kitwright coupon [KIT] [--out DIR] [--format stl|3mf] [--json]
  kitwright coupon [KIT] --measured x=MM,y=MM,z=MM,foot=MM,hole=MM [--resin NAME] [--write] [--json]
      Write a coupon to be printed and measured; then say by what it measures how the resin comes out. --write puts
      shrinkage, spread and bore-loss into kit.yaml, and ready files are drawn so that parts come out at their size.
  kitwright scale [KIT] [--height MM [--write] | --try FACTOR] [--json]
      How large the kit is printed, how that follows and how certain it is. --height gives it a finished height,
      --try tells what another factor would change: walls, openings, keys and what else the check says.
  kitwright log-print [KIT] --part NAME --result good|flawed|off-plate|off-supports|failed [--layer N] [--photo PATH]
                      [--words TEXT] [--date DAY] [--json]
      Add a print to journal.yaml, with the settings and figures of the part as they stand now.
  kitwright journal [KIT] [--part NAME] [--write peel|pull] [--json]
      What worked for parts like this one, and what the prints say of film.peel and limits.pull. --write takes that
      number over into kit.yaml.
  kitwright inspect FILE.stl [--factor F] [--turn X,Y,Z] [--raise MM] [--wall W] [--layer H] [--json]
      Measure one mesh without a manifest.
  kitwright joints [KIT] [--json]
      Where the parts meet as the sculptor put them together, and how wide the gaps are.
  kitwright layers (FILE.stl | KIT --part NAME) --csv
      One row a layer: area, cup area, pull.
  kitwright make-ready [KIT] [--part NAME]... [--plate NAME]... [--out DIR] [--format stl|3mf] [--held apart|together]
                       [--even-with-errors] [--json]
      Write the hollowed, opened meshes in print pose, stoppers for their openings and planned supports:
      apart, or together with the part as one solid. --plate writes a whole plate as one file.
  kitwright proof [KIT] --part NAME [--of vents/0|keys/0|ceiling|wall | --at X,Y,Z] [--size MM] [--out DIR]
                  [--format stl|3mf] [--json]
      Write a small piece of a part, as it would be printed, round its worst region or the one you name.
  kitwright propose openings [KIT] [--part NAME]... [--write] [--json]
      Vents and drains that breathe and empty, few and small, with the reasons. --write puts them into kit.yaml.
  kitwright propose pose [KIT] [--part NAME]... [--write NUMBER] [--pictures DIR] [--json]
      A few ways to turn a part that fit with its supports, with the figures of each. --write puts the one of that
      number into kit.yaml, --pictures a picture of each into a folder.
  kitwright propose supports [KIT] [--part NAME]... [--write] [--json]
      What holds a part: planned supports, the room they need under it, tips as wide as the pull asks for.
      --write puts it into kit.yaml.
  kitwright propose split [KIT] --part NAME... [--write] [--json]
      Where to cut a part that does not fit, so that both halves do. --write puts the best cut into kit.yaml.
  kitwright propose plates [KIT] [--write] [--json]
      The parts that are on no plate yet, together on few plates. --write puts them into kit.yaml.
  kitwright schedule [KIT] [--from 2026-11-30T08:00] [--json]
      The prints one after the other: resin, cost, hours by the clock, and when the vat must be topped up.
  kitwright propose pins [KIT] [--write] [--json]
      Holes in both parts for every pin under joints in kit.yaml. --write puts them into kit.yaml as tubes.
  kitwright explain [KIT] --part NAME [--json]
      One part as a Markdown document: figures, graphs, findings with their reasons, what would change most.

  --no-cache   compute everything again
  --help       this text

KIT is a folder with a kit.yaml; without it, the current folder.
Exit codes: 0 clean or warnings, 1 errors found, 2 could not run, 130 cancelled.
`;
