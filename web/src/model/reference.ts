// Which reference a typed reading goes under: one that may be worked under, the newest first.
import type { Schemas } from "./outcome";

type Line = Schemas["ReferenceLine"];
const order: Line["state"][] = ["good", "expires soon", "undated", "expired", "changed", "disproved"];

export function referenceFor(references: readonly Line[], wavelength: number | null): Line | undefined {
  const fitting = references.filter((each) => each.kind === "opening" && wavelength !== null && Math.abs(each.wavelength_nm - wavelength) < 1
    && each.state !== "superseded");
  const rank = (line: Line) => order.indexOf(line.state);
  return [...fitting].sort((a, b) => rank(a) - rank(b) || (b.time ?? "").localeCompare(a.time ?? ""))[0];
}
