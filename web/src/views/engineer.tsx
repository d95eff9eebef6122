import { useEffect, useState } from "preact/hooks";
import { get, root, send } from "../api/client";
import { curveOf } from "../model/curve";
import { decibels, length, typed } from "../model/format";
import type { Schemas } from "../model/outcome";
import { said, t } from "../model/texts";
import { CarriesMark } from "./carries_mark";
import { Choice, Field, useAnswer, Wrong } from "./parts";

type Link = Schemas["EngineeredLink"];

function Picture({ link }: { link: Link }) {
  const [width, height] = [420, 180];
  const curve = curveOf(link, width, height);
  return (
    <svg class="curve" viewBox="-52 -16 500 226" role="img" aria-label={t("eng.picture", { length: length(link.length_m), reach: length(link.reach_m) })}>
      <path class="axis" d={`M0 0V${height}H${width}`} />
      <path class="fibre" d={curve.fibre} />
      <path class="taken" d={curve.taken} />
      <path class="limit" d={`M0 ${curve.budget}H${width}`} />
      <text x={-6} y={curve.budget + 4} text-anchor="end">{decibels(link.budget_db)}</text>
      <text x={width} y={height + 16} text-anchor="end">{length(curve.longest)}</text>
      {curve.reach !== null && <path class="reach" d={`M${curve.reach} ${curve.budget}V${height}`} />}
      {curve.here.y !== null && <circle class={link.carries ? "supported" : "not-supported"} cx={curve.here.x} cy={curve.here.y} r={6} />}
    </svg>
  );
}

function Answer({ link }: { link: Link }) {
  const penalties = Object.entries(link.penalties_db).filter(([name, value]) => !name.endsWith("uncounted") && name !== "total" && value !== null && value > 0.0005);
  return (
    <>
      <p><CarriesMark carries={link.carries ? "supported" : "not supported"} /> {t("eng.margin", { db: decibels(link.margin_db) })}. {t("eng.reach", { m: length(link.reach_m) })}</p>
      <Picture link={link} />
      <p class="hint">{t("eng.legend")}</p>
      <dl class="figures">
        <div><dt>{t("eng.budget")}</dt><dd>{decibels(link.budget_db)}</dd></div>
        <div><dt>{t("connections")}</dt><dd>{decibels(link.connections_db)}</dd></div>
        <div><dt>{t("fibre")}</dt><dd>{decibels(link.fibre_db)}</dd></div>
        {penalties.map(([name, value]) => <div key={name}><dt>{said("eng", name, name.replace(/_/g, " "))}</dt><dd>{decibels(value)}</dd></div>)}
      </dl>
      <p class="small">{t("eng.standard", { m: length(link.of_the_standard.length_m), db: decibels(link.of_the_standard.loss_limit_db), fibre: decibels(link.of_the_standard.fibre_db), rest: decibels(link.of_the_standard.connections_db) })}</p>
      {link.notes.map((note) => <p key={note} class="hint">{note}</p>)}
      {link.rests_on_memory && <p class="hint">⚑ {t("memory")}</p>}
      <details>
        <summary>{t("eng.inputs")}</summary>
        <div class="scroll"><table>
          <tbody>{link.inputs.map((input) => <tr key={input.name}><td>{input.name.replace(/_/g, " ")}</td><td class="n">{input.value} {input.unit}</td><td class="small">{input.source}</td></tr>)}</tbody>
        </table></div>
      </details>
    </>
  );
}

/** A link that is in no table: what the link model says, as it is typed. */
export function Engineer() {
  const { answer: models } = useAnswer(() => get<Schemas["LinkModelLine"][]>(`${root}/engineer`), "models");
  const [chosen, setChosen] = useState("");
  const [metres, setMetres] = useState("");
  const [joints, setJoints] = useState("");
  const [link, setLink] = useState<Link | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const model = models?.find((each) => `${each.application} ${each.fibre}` === chosen);
  const [long, lost] = [typed(metres), typed(joints)];
  useEffect(() => {
    setLink(null);
    setWrong(null);
    if (!model || long === null || lost === null || long <= 0 || lost < 0) return;
    let stale = false;
    send<Link>("POST", `${root}/engineer`, { application: model.application, fibre: model.fibre, length_m: long, connections_db: lost }).then(
      (got) => { if (!stale) setLink(got); }, (trouble: unknown) => { if (!stale) setWrong(trouble); });
    return () => { stale = true; };
  }, [chosen, long, lost, models]);
  return (
    <section class="card">
      <h2>{t("eng.title")}</h2>
      <div class="row">
        <Choice label={t("app.application")} value={chosen} choose={setChosen} options={[["", "–"], ...(models ?? []).filter((each) => each.penalties_known).map((each): [string, string] => [`${each.application} ${each.fibre}`, `${each.application}, ${each.fibre}`])]} />
        <Field label={t("eng.length")}>{(id) => <input id={id} inputMode="decimal" value={metres} onInput={(event) => setMetres(event.currentTarget.value)} />}</Field>
        <Field label={t("eng.joints")}>{(id) => <input id={id} inputMode="decimal" value={joints} onInput={(event) => setJoints(event.currentTarget.value)} />}</Field>
      </div>
      <div role="status" aria-live="polite">{link && <Answer link={link} />}</div>
      <Wrong failure={wrong} />
      <p class="hint">{t("eng.help")}</p>
    </section>
  );
}
