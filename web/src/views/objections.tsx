// What an owner would send back: refused, missing, for a person; each with the step that mends it.
import type { ComponentChildren } from "preact";
import type { Schemas } from "../model/outcome";
import { t } from "../model/texts";

type Item = Schemas["PreflightItem"];
const words = { refused: "pre.refused", missing: "pre.missing", "by hand": "pre.by-hand" } as const;
const shapes = { refused: "■", missing: "○", "by hand": "◆" } as const;

/** `mend`: what a screen offers beside an item; `strand`: where it leads from a strand. */
export function Objections(props: { items: Item[]; mend?: (item: Item) => ComponentChildren; strand?: (link: string, strand: string) => string }) {
  return (
    <>
      {(["refused", "missing", "by hand"] as const).map((objection) => {
        const items = props.items.filter((item) => item.objection === objection);
        if (items.length === 0) return null;
        return (
          <section key={objection} class={`objection ${objection.replace(" ", "-")}`}>
            <h3><span aria-hidden="true">{shapes[objection]}</span> {t(words[objection])} ({items.length})</h3>
            <ul class="plain">
              {items.map((item, i) => (
                <li key={i}>
                  {item.what}
                  {item.step && <p class="small">→ {item.step}</p>}
                  {props.mend?.(item)}
                  {item.strands_total > 0 && (
                    <details>
                      <summary>{item.strands_total === 1 ? t("pre.strands.one") : t("pre.strands", { n: item.strands_total })}</summary>
                      <p class="small">
                        {item.strands.map(([link = "", strand = ""], n) => (
                          <span key={n}>{n > 0 && ", "}{props.strand ? <a href={props.strand(link, strand)}>{link}/{strand}</a> : `${link}/${strand}`}</span>
                        ))}
                        {item.strands.length < item.strands_total && " …"}
                      </p>
                    </details>
                  )}
                  {item.demand && <p class="small">{item.demand}</p>}
                </li>
              ))}
            </ul>
          </section>
        );
      })}
    </>
  );
}
