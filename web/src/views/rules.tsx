import { useEffect, useState } from "preact/hooks";
import { job as overview, refresh } from "../api/live";
import { get, jobPath, root, send } from "../api/client";
import { decibels, digits, preferences, typed } from "../model/format";
import type { Schemas } from "../model/outcome";
import { route } from "../model/route";
import { said, t } from "../model/texts";
import { Choice, Field, SourcedNumbers, useAnswer, Wrong } from "./parts";
import { Profiles } from "./profiles";

type RuleView = Schemas["RuleView"];
const fibres = ["OM1", "OM2", "OM3", "OM4", "OM5", "OS1", "OS1a", "OS2"];

/** A limit worked out by the service while the numbers are changed. */
function Example({ rule, text }: { rule: string; text: string | null }) {
  const [form, setForm] = useState({ fibre: "OM4", length: "100", connections: "2", splices: "0", wavelength: "850", method: "one-cord" });
  const [limit, setLimit] = useState<Schemas["Limit"] | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const question = JSON.stringify([rule, text, form]);
  useEffect(() => {
    const body = { ...(text === null ? { rule } : { rule_text: text }), fibre: form.fibre, length_m: typed(form.length), connections: typed(form.connections),
                   splices: typed(form.splices), wavelength_nm: typed(form.wavelength), reference_method: form.method };
    if (Object.values(body).includes(null)) return;
    let current = true;
    const timer = setTimeout(() => {
      send<Schemas["Limit"]>("POST", `${root}/limit`, body).then((got) => { if (current) { setLimit(got); setWrong(null); } },
        (trouble: unknown) => { if (current) { setLimit(null); setWrong(trouble); } });
    }, 200);
    return () => { current = false; clearTimeout(timer); };
  }, [question]);
  const number = (label: string, name: "length" | "connections" | "splices" | "wavelength") => (
    <Field label={label}>{(id) => <input id={id} inputMode="decimal" value={form[name]} onInput={(e) => setForm({ ...form, [name]: e.currentTarget.value })} />}</Field>
  );
  return (
    <section class="card">
      <h3>{t("rule.example")}</h3>
      <div class="row">
        <Choice label={t("fibre")} value={form.fibre} choose={(fibre) => setForm({ ...form, fibre })} options={fibres.map((each): [string, string] => [each, each])} />
        {number(`${t("length")}, m`, "length")}{number(t("connections"), "connections")}{number(t("splices"), "splices")}{number(`${t("wavelength")}, nm`, "wavelength")}
        <Choice label={t("ref.method")} value={form.method} choose={(method) => setForm({ ...form, method })}
          options={[["one-cord", t("ref.one-cord")], ["two-cord", t("ref.two-cord")], ["three-cord", t("ref.three-cord")]]} />
      </div>
      <Wrong failure={wrong} />
      {limit && (
        <div role="status">
          <p><b>{t("limit")} {decibels(limit.limit_db)}</b></p>
          <ul>{limit.working.map((term, i) => <li key={i}>{said("term", term.term, term.term)}: {digits(term.count, 4)} × {decibels(term.each_db)} = {decibels(term.total_db)}</li>)}</ul>
          {limit.rests_on_memory && <p class="hint">⚑ {t("memory")}</p>}
        </div>
      )}
    </section>
  );
}

function Choose({ rule, text }: { rule: string; text: string | null }) {
  const [guard, setGuard] = useState<string>(overview.value?.guard ?? "none");
  const [method, setMethod] = useState<string>(overview.value?.settings.reference_method ?? "");
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState<unknown>(null);
  const keep = async (event: Event) => {
    event.preventDefault();
    try {
      await send("POST", `${jobPath(route.value.job)}/rule`, { rule, ...(text === null ? {} : { rule_text: text }), guard, reference_method: method || null, person: preferences.value.person, reason });
      setWrong(null);
      setReason("");
      await refresh();
    } catch (trouble) { setWrong(trouble); }
  };
  return (
    <form class="card" onSubmit={keep}>
      <h3>{t("rule.choose")}</h3>
      <div class="row">
        <Choice label={t("rule.guard")} value={guard} choose={setGuard} options={[["none", t("guard.none")], ["U", t("guard.U")]]} />
        <Choice label={t("ref.method")} value={method} choose={setMethod} options={[["", "–"], ["one-cord", t("ref.one-cord")], ["two-cord", t("ref.two-cord")], ["three-cord", t("ref.three-cord")]]} />
        <Field label={t("reason")} hint={t("reason.needed")}>{(id) => <input id={id} value={reason} required onInput={(e) => setReason(e.currentTarget.value)} />}</Field>
      </div>
      <Wrong failure={wrong} />
      <button class="strong" type="submit">{t("rule.choose")}</button>
    </form>
  );
}

function Own({ start }: { start: string }) {
  const [text, setText] = useState(start);
  const [checked, setChecked] = useState<Schemas["RuleChecked"] | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  useEffect(() => {
    const timer = setTimeout(() => {
      send<Schemas["RuleChecked"]>("POST", `${root}/rules/check`, { text }).then((got) => { setChecked(got); setWrong(null); },
        (trouble: unknown) => { setChecked(null); setWrong(trouble); });
    }, 300);
    return () => clearTimeout(timer);
  }, [text]);
  return (
    <section class="card">
      <h2>{t("rule.own")}</h2>
      <p class="hint">{t("rule.own.help")}</p>
      <Field label={t("rule.text")}>{(id) => <textarea id={id} class="code" rows={18} spellcheck={false} value={text} onInput={(e) => setText(e.currentTarget.value)} />}</Field>
      <Wrong failure={wrong} />
      {checked && <p role="status">✓ {t("rule.ok", { title: checked.title })} ({checked.id})</p>}
      {checked && <Example rule={checked.id} text={text} />}
      {checked && <Choose rule={checked.id} text={text} />}
    </section>
  );
}

export function Rules() {
  const { job } = route.value;
  const query = `job=${encodeURIComponent(job)}`;
  const { answer: rules, failure } = useAnswer(() => get<Schemas["RuleLine"][]>(`${root}/rules?${query}`), overview.value?.revision);
  const [id, setId] = useState("");
  const [own, setOwn] = useState(false);
  const chosen = id || overview.value?.rule?.id || rules?.[0]?.id || "";
  const { answer: view, failure: wrong } = useAnswer<RuleView | null>(
    () => (chosen ? get<RuleView>(`${root}/rules/${encodeURIComponent(chosen)}?${query}`) : Promise.resolve(null)), chosen);
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("rules")}</h1>
      <Wrong failure={failure ?? wrong} />
      {rules && <Choice label={t("job.rule")} value={chosen} choose={(next) => { setId(next); setOwn(false); }}
        options={rules.map((rule): [string, string] => [rule.id, `${rule.title}${rule.id === overview.value?.rule?.id ? ` ✓ ${t("rule.chosen")}` : ""}`])} />}
      {view && (
        <>
          <h2>{view.rule.title}</h2>
          <p class="small">{view.rule.document}:{view.rule.edition} · {view.rule.id}</p>
          <p>{view.rule.note}</p>
          <div class="cards">
            <Example key={`example ${chosen}`} rule={chosen} text={view.rule.own ? view.text : null} />
            <Choose key={`choose ${chosen}`} rule={chosen} text={view.rule.own ? view.text : null} />
          </div>
          <SourcedNumbers sections={view.sections} />
          {own ? <Own key={`own ${chosen}`} start={view.text} /> : <button onClick={() => setOwn(true)}>{t("rule.own")}: {t("rule.start")}</button>}
        </>
      )}
      <Profiles />
    </main>
  );
}
