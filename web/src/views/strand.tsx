import { useState } from "preact/hooks";
import { revision } from "../api/live";
import { get, jobPath, send } from "../api/client";
import { length, moment, preferences } from "../model/format";
import type { Schemas } from "../model/outcome";
import { href, route } from "../model/route";
import { t } from "../model/texts";
import { Chip, Dialog, Field, useAnswer, Wrong } from "./parts";
import { TestCard } from "./test_card";

type Entry = Schemas["HistoryEntry"];

function Change({ entry, withdraws, close }: { entry: Entry; withdraws: boolean; close: (done: boolean) => void }) {
  const field = entry.values["loss_db"] !== undefined ? "loss_db" : "power_dbm";
  const [value, setValue] = useState(String(entry.values[field] ?? ""));
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState<unknown>(null);
  const keep = async (event: Event) => {
    event.preventDefault();
    const ground = { fact: entry.fact, person: preferences.value.person, reason };
    try {
      if (withdraws) await send("POST", `${jobPath(route.value.job)}/withdrawals`, ground);
      else await send("POST", `${jobPath(route.value.job)}/corrections`, { ...ground, values: { [field]: value.replace(",", ".") } });
      close(true);
    } catch (trouble) { setWrong(trouble); }
  };
  return (
    <Dialog title={t(withdraws ? "withdraw.title" : "correct.title")} close={() => close(false)}>
      <p>{entry.summary}</p>
      <form onSubmit={keep}>
        {!withdraws && <Field label={t(field === "loss_db" ? "read.loss" : "read.level")}>{(id) => <input id={id} inputMode="decimal" value={value} required onInput={(e) => setValue(e.currentTarget.value)} />}</Field>}
        <Field label={t("reason")} hint={t("reason.needed")}>{(id) => <input id={id} value={reason} required onInput={(e) => setReason(e.currentTarget.value)} />}</Field>
        <Wrong failure={wrong} />
        <button class="strong" type="submit">{t(withdraws ? "withdraw" : "correct")}</button>
      </form>
    </Dialog>
  );
}

export function StrandScreen() {
  const { job, query } = route.value;
  const link = query.get("link") ?? "";
  const strand = query.get("strand") ?? "";
  const path = `${jobPath(job)}/strand?${new URLSearchParams({ link, strand }).toString()}`;
  const { answer: view, failure, again } = useAnswer(() => get<Schemas["StrandView"]>(path), `${path} ${revision.value}`);
  const [change, setChange] = useState<{ entry: Entry; withdraws: boolean } | null>(null);
  const row = view?.strand;
  return (
    <main id="content" class="page" tabIndex={-1}>
      <p><a href={href(job, "map")}>← {t("map")}</a> · <a href={href(job, "reading", { link, strand })}>{t("reading")}</a> · <a href={href(job, "traces", { link, strand })}>{t("traces")}</a> · <a href={href(job, "applications", { link })}>{t("applications")}</a></p>
      <h1>{link} <Chip strand={strand} /></h1>
      <Wrong failure={failure} />
      {row && (
        <dl class="figures">
          {row.cable && <div><dt>{t("cable")}</dt><dd>{row.cable}</dd></div>}
          {(row.end_a || row.end_b) && <div><dt>{t("ends")}</dt><dd>{row.end_a} → {row.end_b}</dd></div>}
          <div><dt>{t("fibre")}</dt><dd>{row.fibre ?? "–"}</dd></div>
          <div><dt>{t("length")}</dt><dd>{length(row.length_m)}</dd></div>
          <div><dt>{t("connections")}</dt><dd>{row.connections ?? "–"}</dd></div>
          <div><dt>{t("splices")}</dt><dd>{row.splices ?? "–"}</dd></div>
        </dl>
      )}
      <div class="cards">{view?.tests.map((test, i) => <TestCard key={i} test={test} />)}</div>
      {view && (
        <section>
          <h2>{t("history")}</h2>
          <ol class="history">
            {view.history.map((entry) => (
              <li key={entry.fact} class={entry.standing === "counts" ? "" : "gone"}>
                <span class="small">{moment(entry.time)}</span> {entry.summary}
                {entry.standing !== "counts" && <b> {t(entry.standing === "corrected" ? "corrected" : "withdrawn")}</b>}
                {entry.reason && <i> {entry.person}: {entry.reason}</i>}
                {entry.kind === "reading" && entry.standing === "counts" && (
                  <span class="pair">
                    <button onClick={() => setChange({ entry, withdraws: false })}>{t("correct")}</button>
                    <button onClick={() => setChange({ entry, withdraws: true })}>{t("withdraw")}</button>
                  </span>
                )}
              </li>
            ))}
          </ol>
        </section>
      )}
      {change && <Change {...change} close={(done) => { setChange(null); if (done) again(); }} />}
    </main>
  );
}
