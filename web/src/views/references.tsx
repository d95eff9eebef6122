import { useState } from "preact/hooks";
import { revision } from "../api/live";
import { get, jobPath, send } from "../api/client";
import { age, decibels, level, moment, nanometres, preferences, typed } from "../model/format";
import type { Schemas } from "../model/outcome";
import { route } from "../model/route";
import { said, t } from "../model/texts";
import { uuid } from "../model/uuid";
import { Cautions, Field, useAnswer, Wrong } from "./parts";

type Line = Schemas["ReferenceLine"];

/** Source, meter and the cords between them; a joint between two cords is a mated pair in an adapter. */
function CordPicture({ cords }: { cords: number }) {
  const step = 200 / cords;
  return (
    <svg class="cords" viewBox="0 0 300 50" role="img" aria-label={t("ref.picture", { n: cords })}>
      <rect class="box" x={2} y={12} width={44} height={26} rx={3} /><text x={24} y={29} text-anchor="middle">S</text>
      <rect class="box" x={254} y={12} width={44} height={26} rx={3} /><text x={276} y={29} text-anchor="middle">M</text>
      {Array.from({ length: cords }, (_, i) => <path key={i} class={`cord cord-${i}`} d={`M${50 + i * step} 25q${step / 2} ${i % 2 ? 16 : -16} ${step} 0`} />)}
      {Array.from({ length: cords - 1 }, (_, i) => <rect key={i} class="joint" x={50 + (i + 1) * step - 7} y={19} width={14} height={12} />)}
    </svg>
  );
}

const empty = { wavelength: "1310", power: "", method: "one-cord", name: "", source: "", meter: "", cords: "" };

function Take({ closes, methods, done }: { closes: Line | null; methods: Schemas["References"]["methods"]; done: () => void }) {
  const [form, setForm] = useState(closes
    ? { wavelength: String(closes.wavelength_nm), power: "", method: closes.method ?? "one-cord", name: closes.reference ?? "", source: closes.source ?? "", meter: closes.meter ?? "", cords: closes.cords ?? "" }
    : { ...empty, ...JSON.parse(localStorage.getItem("strandbook-instruments") ?? "{}") as Partial<typeof empty>, power: "" });
  const [wrong, setWrong] = useState<unknown>(null);
  const set = (change: Partial<typeof empty>) => setForm({ ...form, ...change });
  const keep = async (event: Event) => {
    event.preventDefault();
    const power = typed(form.power);
    const wavelength = typed(form.wavelength);
    if (power === null || wavelength === null) return;
    const body: Schemas["NewReference"] = {
      entry: uuid(), kind: closes ? "closing_check" : "opening", wavelength_nm: wavelength, power_dbm: power, method: form.method as "one-cord",
      time: new Date().toISOString().slice(0, 19) + "Z", reference: form.name || null, source: form.source || null, meter: form.meter || null,
      cords: form.cords || null, operator: preferences.value.person };
    try {
      await send("POST", `${jobPath(route.value.job)}/references`, body);
      localStorage.setItem("strandbook-instruments", JSON.stringify(form));
      setForm({ ...form, power: "" });
      done();
    } catch (trouble) { setWrong(trouble); }
  };
  const text = (label: string, field: "name" | "source" | "meter" | "cords") => (
    <Field label={label}>{(id) => <input id={id} value={form[field]} readOnly={closes !== null} onInput={(e) => set({ [field]: e.currentTarget.value })} />}</Field>
  );
  return (
    <form class="card" onSubmit={keep}>
      <h2>{t(closes ? "ref.close" : "ref.take")}</h2>
      {!closes && (
        <fieldset class="methods">
          <legend>{t("ref.method")}</legend>
          {methods.map((each) => (
            <label key={each.method} class={form.method === each.method ? "chosen" : ""}>
              <input type="radio" name="method" checked={form.method === each.method} onChange={() => set({ method: each.method })} />
              <b>{said("ref", each.method, each.method)}</b>
              <CordPicture cords={each.cords} />
              <span class="small">{each.counts}</span>
            </label>
          ))}
        </fieldset>
      )}
      <div class="row">
        <Field label={`${t("wavelength")}, nm`}>{(id) => <input id={id} inputMode="numeric" value={form.wavelength} readOnly={closes !== null} required onInput={(e) => set({ wavelength: e.currentTarget.value })} />}</Field>
        <Field label={t("ref.power")}>{(id) => <input id={id} inputMode="decimal" value={form.power} required onInput={(e) => set({ power: e.currentTarget.value })} />}</Field>
        {text(t("ref.name"), "name")}{text(t("ref.source"), "source")}{text(t("ref.meter"), "meter")}{text(t("ref.cords"), "cords")}
      </div>
      <Wrong failure={wrong} />
      <button class="strong" type="submit" disabled={typed(form.power) === null}>{t("read.record")}</button>
    </form>
  );
}

function CordCheck({ done }: { done: () => void }) {
  const [form, setForm] = useState({ cords: "", wavelength: "1310", forward: "", reversed: "", allowed: "" });
  const [result, setResult] = useState<Schemas["CordCheckKept"] | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const keep = async (event: Event) => {
    event.preventDefault();
    const [nm, forward, reversed, allowed] = [form.wavelength, form.forward, form.reversed, form.allowed].map(typed);
    if (nm == null || forward == null || reversed == null || allowed == null) return;
    try {
      setResult(await send<Schemas["CordCheckKept"]>("POST", `${jobPath(route.value.job)}/cord-checks`,
        { entry: uuid(), cords: form.cords, wavelength_nm: nm, forward_db: forward, reversed_db: reversed, allowed_db: allowed, person: preferences.value.person }));
      done();
    } catch (trouble) { setWrong(trouble); }
  };
  const field = (label: string, name: keyof typeof form, mode: "decimal" | "text" = "decimal") => (
    <Field label={label}>{(id) => <input id={id} inputMode={mode} value={form[name]} required onInput={(e) => setForm({ ...form, [name]: e.currentTarget.value })} />}</Field>
  );
  return (
    <form class="card" onSubmit={keep}>
      <h2>{t("ref.check")}</h2>
      <CordPicture cords={2} />
      <div class="row">
        {field(t("ref.cords"), "cords", "text")}{field(`${t("wavelength")}, nm`, "wavelength")}{field(t("ref.forward"), "forward")}{field(t("ref.reversed"), "reversed")}{field(t("ref.allowed"), "allowed")}
      </div>
      <Wrong failure={wrong} />
      {result && <p role="status"><b>{t(result.outcome === "pass" ? "outcome.pass" : "outcome.fail")}</b> {result.advice}</p>}
      <button class="strong" type="submit">{t("read.record")}</button>
    </form>
  );
}

export function References() {
  const { answer, failure, again } = useAnswer(() => get<Schemas["References"]>(`${jobPath(route.value.job)}/references`), revision.value);
  const [closes, setCloses] = useState<Line | null>(null);
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("references")}</h1>
      <Wrong failure={failure} />
      <Cautions kinds={["light", "solvent"]} />
      {answer && closes && <Take key={closes.fact} closes={closes} methods={answer.methods} done={() => { setCloses(null); again(); }} />}
      {answer && !closes && <Take closes={null} methods={answer.methods} done={again} />}
      {answer && (
        <ul class="cards">
          {answer.references.map((line) => (
            <li key={line.fact} class={`card reference ${line.state.replace(" ", "-")}`}>
              <h2>{nanometres(line.wavelength_nm)} {line.reference}</h2>
              <p><b>{level(line.power_dbm)}</b> · {said("ref", line.kind, line.kind)} · {line.method && said("ref", line.method, line.method)}</p>
              <p><b>{said("ref", line.state, line.state)}</b> · {t("ref.age", { age: age(line.age_s) })} · {t("ref.readings", { n: line.readings })}</p>
              <p>{line.change_db != null ? t("ref.change", { change: decibels(line.change_db) }) : line.kind === "opening" ? t("ref.open") : ""}</p>
              <p class="small">{[line.source, line.meter, line.cords, line.operator, moment(line.time)].filter(Boolean).join(" · ")}</p>
              {line.kind === "opening" && !line.closed && <button onClick={() => setCloses(line)}>{t("ref.close")}</button>}
            </li>
          ))}
        </ul>
      )}
      <CordCheck done={again} />
      {answer && answer.cord_checks.length > 0 && (
        <ol class="history">
          {answer.cord_checks.map((check) => (
            <li key={check.fact}>{check.cords} {nanometres(check.wavelength_nm)}: {decibels(check.forward_db)} / {decibels(check.reversed_db)} ({t("ref.allowed")} {decibels(check.allowed_db)}) <b>{t(check.outcome === "pass" ? "outcome.pass" : "outcome.fail")}</b> <span class="small">{check.person} {moment(check.time)}</span></li>
          ))}
        </ol>
      )}
    </main>
  );
}
