// What kinds of owners demand, and the profile that the job is judged under.
import { useState } from "preact/hooks";
import { job as overview, refresh } from "../api/live";
import { get, jobPath, root, send } from "../api/client";
import { preferences } from "../model/format";
import type { Schemas } from "../model/outcome";
import { route } from "../model/route";
import { t } from "../model/texts";
import { Choice, Field, SourcedNumbers, useAnswer, Wrong } from "./parts";

/** Takes the profile for the job, or none where `profile` is null. */
function Take({ profile }: { profile: string | null }) {
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState<unknown>(null);
  const keep = async (event: Event) => {
    event.preventDefault();
    try {
      await send("POST", `${jobPath(route.value.job)}/rule`, { profile, person: preferences.value.person, reason });
      setWrong(null);
      setReason("");
      await refresh();
    } catch (trouble) { setWrong(trouble); }
  };
  const words = profile === null ? t("profile.leave") : t("profile.take");
  return (
    <form class="card" onSubmit={keep}>
      {profile !== null && <p class="hint">{t("profile.help")}</p>}
      <Field label={t("reason")} hint={t("reason.needed")}>{(id) => <input id={id} value={reason} required onInput={(e) => setReason(e.currentTarget.value)} />}</Field>
      <Wrong failure={wrong} />
      <button class="strong" type="submit">{words}</button>
    </form>
  );
}

export function Profiles() {
  const held = overview.value?.settings.profile ?? null;
  const { answer: shipped, failure } = useAnswer(() => get<Schemas["ProfileLine"][]>(`${root}/profiles`), null);
  const [picked, setPicked] = useState<string | null>(null);
  const chosen = picked ?? held?.id ?? "";
  const query = `job=${encodeURIComponent(route.value.job)}`;
  const { answer: view, failure: wrong } = useAnswer<Schemas["ProfileView"] | null>(
    () => (chosen ? get<Schemas["ProfileView"]>(`${root}/profiles/${encodeURIComponent(chosen)}?${query}`) : Promise.resolve(null)), chosen);
  const list = shipped ?? [];
  const own = held && !list.some((each) => each.id === held.id) ? [held] : [];
  return (
    <section>
      <h2>{t("profile")}</h2>
      <Wrong failure={failure ?? wrong} />
      <Choice label={t("profile.owner")} value={chosen} choose={setPicked}
        options={[["", t("profile.none")], ...[...own, ...list].map((each): [string, string] => [each.id, `${each.title}${each.id === held?.id ? ` ✓ ${t("rule.chosen")}` : ""}`])]} />
      {chosen === "" && held && <Take profile={null} />}
      {view && (
        <>
          <h3>{view.profile.title}</h3>
          <p class="small">{view.profile.kind} · {view.profile.document} {view.profile.edition} · {view.profile.id}</p>
          <p>{view.profile.note}</p>
          {view.profile.rule && <p>{t("job.rule")}: {view.profile.rule}</p>}
          {chosen !== held?.id && <Take key={chosen} profile={chosen} />}
          <SourcedNumbers sections={view.sections} />
        </>
      )}
    </section>
  );
}
