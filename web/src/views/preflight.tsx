// The job held against what its owner demands, and what a person can mend from here.
import { useRef, useState } from "preact/hooks";
import { revision } from "../api/live";
import { get, jobPath, send, upload } from "../api/client";
import { preferences } from "../model/format";
import type { Schemas } from "../model/outcome";
import { href, route } from "../model/route";
import { t } from "../model/texts";
import { Objections } from "./objections";
import { Dialog, Field, useAnswer, Wrong } from "./parts";

type Item = Schemas["PreflightItem"];

function StateIt({ item, close }: { item: Item; close: () => void }) {
  const [text, setText] = useState("");
  const [wrong, setWrong] = useState<unknown>(null);
  const keep = async (event: Event) => {
    event.preventDefault();
    try {
      await send("POST", `${jobPath(route.value.job)}/statements`, { field: item.about, text, person: preferences.value.person });
      close();
    } catch (trouble) { setWrong(trouble); }
  };
  return (
    <Dialog title={t("pre.state")} close={close}>
      <p>{item.what}</p>
      <form onSubmit={keep}>
        <Field label={t("pre.words")} hint={t("pre.words.why")}>{(id) => <input id={id} value={text} required onInput={(e) => setText(e.currentTarget.value)} />}</Field>
        <Wrong failure={wrong} />
        <button class="strong" type="submit">{t("pre.state")}</button>
      </form>
    </Dialog>
  );
}

function Enclose({ form, done }: { form: string; done: (trouble: unknown) => void }) {
  const box = useRef<HTMLInputElement>(null);
  const take = async (file: File | undefined) => {
    if (!file) return;
    try {
      await upload(`${jobPath(route.value.job)}/documents?${new URLSearchParams({ file: file.name, form }).toString()}`, file);
      done(null);
    } catch (trouble) { done(trouble); }
  };
  return (
    <>
      <button onClick={() => box.current?.click()}>{t("pre.enclose")}</button>
      <input ref={box} type="file" hidden aria-label={t("pre.enclose")} onChange={(event) => void take(event.currentTarget.files?.[0])} />
    </>
  );
}

export function Preflight() {
  const { job } = route.value;
  const { answer, failure, again } = useAnswer(() => get<Schemas["Preflight"]>(`${jobPath(job)}/preflight`), `${job} ${revision.value}`);
  const [stating, setStating] = useState<Item | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const settled = (trouble: unknown) => { setWrong(trouble); if (!trouble) again(); };
  const mend = (item: Item) => {
    if (!item.about) return null;
    if (item.kind === "form") return <Enclose form={item.about} done={settled} />;
    return <button onClick={() => setStating(item)}>{t("pre.state")}</button>;
  };
  return (
    <section class="card">
      <h2>{t("pack.demands")}</h2>
      <Wrong failure={failure ?? wrong} />
      {answer && (
        <>
          <p>{answer.profile_title ?? t("pre.no-profile")} · <a href={href(job, "rules")}>{t("profile")}</a></p>
          <p role="status"><b>{answer.may_leave ? `✓ ${t("pre.may-leave")}` : `✕ ${t("pre.not-yet")}`}</b></p>
          <Objections items={answer.items} mend={mend} strand={(link, strand) => href(job, "strand", { link, strand })} />
        </>
      )}
      {stating && <StateIt item={stating} close={() => { setStating(null); again(); }} />}
    </section>
  );
}
