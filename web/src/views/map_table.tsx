import { useState } from "preact/hooks";
import { arrow, nanometres } from "../model/format";
import type { Dense } from "../model/map";
import { letters, outcomes } from "../model/outcome";
import { t } from "../model/texts";
import { word } from "./parts";

/** What is in sight on the map as a table, for those who read with their ears. It is made only while it is open. */
export function MapTable({ all, strands }: { all: Dense; strands: () => number[] }) {
  const [open, setOpen] = useState(false);
  const said = (code: number | undefined) => (code === undefined || code >= letters.length ? "–" : word(outcomes[code]!));
  return (
    <details class="in-view" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{t("map.table")}</summary>
      {open && (
        <div class="scroll" tabIndex={0} role="region" aria-label={t("map.table")}>
          <table>
            <thead><tr><th>{t("link")}</th><th>{t("strand")}</th>
              {all.map.columns.map((column, i) => <th key={i}>{nanometres(column.wavelength_nm)} {arrow(column.direction)}</th>)}</tr></thead>
            <tbody>
              {strands().map((strand) => {
                const link = all.map.links[all.linkOf[strand]!]!;
                return (
                  <tr key={strand}><td>{link.link}</td><th scope="row">{all.map.strands[strand]}</th>
                    {all.cells.map((column, i) => <td key={i}>{said(column[strand])}</td>)}</tr>
                );
              })}
            </tbody>
          </table>
        </div>
      )}
    </details>
  );
}
