import { useState } from "preact/hooks";
import { revision } from "../api/live";
import { get, jobPath } from "../api/client";
import { preferences } from "../model/format";
import type { Schemas } from "../model/outcome";
import { t } from "../model/texts";
import { Choice, Field, useAnswer } from "./parts";

export type Order = Omit<Schemas["HandoverOrder"], "what">;
const kinds = ["buildings", "panels", "cables", "links", "operators"] as const;
type Kind = (typeof kinds)[number];

export const firstOrder = (): Order => ({ title: "", site: "", owner: "", contractor: "", language: preferences.value.language, paper: "a4", length_unit: "m" });

/** The bytes of a file in base64, without the head of a data address. */
const base64 = (file: File): Promise<string> => new Promise((done, failed) => {
  const reader = new FileReader();
  reader.onload = () => done(String(reader.result).replace(/^[^,]*,/, ""));
  reader.onerror = () => failed(reader.error);
  reader.readAsDataURL(file);
});

/** What the handover says and holds: names, language, paper, pictures, and which part of the job. */
export function HandoverChoices({ job, order, change }: { job: string; order: Order; change: (order: Order) => void }) {
  const { answer: parts } = useAnswer(() => get<Schemas["Parts"]>(`${jobPath(job)}/parts`), revision.value);
  const [kind, setKind] = useState<Kind | "">("");
  const put = (values: Partial<Order>) => change({ ...order, ...values });
  const nothing = { buildings: [], panels: [], cables: [], links: [], operators: [] };
  const pick = (next: Kind | "", names: string[]) => { setKind(next); put({ ...nothing, ...(next ? { [next]: names } : {}) }); };
  const text = (name: "title" | "site" | "owner" | "contractor") => (
    <Field label={t(`hand.${name}`)}>{(id) => <input id={id} value={order[name]} onInput={(e) => put({ [name]: e.currentTarget.value })} />}</Field>
  );
  const picture = (name: "owner_picture" | "contractor_picture") => (
    <Field label={t(`hand.${name}`)} hint={t("hand.picture")}>{(id) => (
      <input id={id} type="file" accept="image/png,image/jpeg" onChange={(e) => {
        const file = e.currentTarget.files?.[0];
        if (file) void base64(file).then((bytes) => put({ [name]: bytes })); else put({ [name]: "" });
      }} />
    )}</Field>
  );
  const known = kinds.filter((each) => (parts?.[each].length ?? 0) > 0);
  return (
    <>
      <div class="row">{text("title")}{text("site")}{text("owner")}{text("contractor")}</div>
      <div class="row">
        <Choice label={t("hand.part")} value={kind} options={[["", t("hand.whole")], ...known.map((each): [string, string] => [each, t(`hand.by.${each}`)])]}
          choose={(next) => pick(next as Kind | "", next ? [parts?.[next as Kind][0] ?? ""] : [])} />
        {kind && (
          <Field label={t(`hand.by.${kind}`)} hint={t("hand.several")}>{(id) => (
            <select id={id} multiple size={Math.min(6, parts?.[kind].length ?? 1)}
              onChange={(e) => pick(kind, [...e.currentTarget.selectedOptions].map((each) => each.value))}>
              {parts?.[kind].map((name) => <option key={name} value={name} selected={order[kind]?.includes(name) ?? false}>{name}</option>)}
            </select>
          )}</Field>
        )}
        <Choice label={t("hand.language")} value={order.language ?? "en"} options={[["en", "English"], ["de", "Deutsch"]]} choose={(language) => put({ language: language as "en" | "de" })} />
        <Choice label={t("hand.paper")} value={order.paper ?? "a4"} options={[["a4", "A4"], ["letter", "Letter"]]} choose={(paper) => put({ paper: paper as "a4" | "letter" })} />
        <Choice label={t("hand.length")} value={order.length_unit ?? "m"} options={[["m", "m"], ["ft", "ft"]]} choose={(unit) => put({ length_unit: unit as "m" | "ft" })} />
      </div>
      <div class="row">{picture("owner_picture")}{picture("contractor_picture")}</div>
    </>
  );
}
