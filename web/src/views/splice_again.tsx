// A splice was made again: which attempt it is, at the event that was chosen.
import { useState } from "preact/hooks";
import { jobPath, send } from "../api/client";
import { along, preferences } from "../model/format";
import type { Schemas } from "../model/outcome";
import { t } from "../model/texts";
import type { SeenEvent } from "../model/trace";
import { uuid } from "../model/uuid";
import { Cautions, Choice, Field, Wrong } from "./parts";

export const maySplice = (event: SeenEvent): boolean => ["loss", "gain", "bend", "reflective"].includes(event.kind);

export function SpliceAgain({ job, link, strand, event }: { job: string; link: string; strand: string; event: SeenEvent }) {
  const [attempt, setAttempt] = useState(String(event.attempts + 1));
  const [method, setMethod] = useState("");
  const [entry, setEntry] = useState(uuid);
  const [kept, setKept] = useState(0);
  const [wrong, setWrong] = useState<unknown>(null);
  const number = /^([1-9]|1[0-9]|20)$/.test(attempt.trim()) ? Number(attempt) : null;
  const keep = async (submit: Event) => {
    submit.preventDefault();
    if (number === null) return;
    setWrong(null);
    try {
      await send<Schemas["EntryKept"]>("POST", `${jobPath(job)}/splice-attempts`,
        { entry, link, strand, at_m: Math.max(0, event.position_m), attempt: number, ...(method ? { method } : {}), person: preferences.value.person });
      setKept(number);
      setEntry(uuid());
    } catch (trouble) { setWrong(trouble); }
  };
  return (
    <form class="card" onSubmit={keep}>
      <h2>{t("splice.again")}</h2>
      <p>{t("splice.again.words", { at: along(event.position_m), n: event.attempts })}</p>
      <div class="row">
        <Field label={t("splice.attempt")}>{(id) => <input id={id} inputMode="numeric" value={attempt} required onInput={(e) => setAttempt(e.currentTarget.value)} />}</Field>
        <Choice label={t("splice.method")} value={method} choose={setMethod}
          options={[["", t("splice.method.unsaid")], ["fusion", t("splice.method.fusion")], ["mechanical", t("splice.method.mechanical")]]} />
      </div>
      <Wrong failure={wrong} />
      {kept > 0 && <p role="status">✓ {t("splice.kept", { n: kept })}</p>}
      <button class="strong" type="submit" disabled={number === null}>{t("read.record")}</button>
      <Cautions kinds={["light", "glass", "arc"]} step={t("splice.again")} />
    </form>
  );
}
