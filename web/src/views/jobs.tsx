import { useState } from "preact/hooks";
import { get, root, send } from "../api/client";
import type { Schemas } from "../model/outcome";
import { go, href } from "../model/route";
import { t } from "../model/texts";
import { Field, Tally, useAnswer, Wrong } from "./parts";

export function Jobs() {
  const { answer: jobs, failure } = useAnswer(() => get<Schemas["JobLine"][]>(`${root}/jobs`), "");
  const { answer: about } = useAnswer(() => get<Schemas["About"]>(`${root}/about`), "");
  const [name, setName] = useState("");
  const [wrong, setWrong] = useState<unknown>(null);
  const create = async (event: Event) => {
    event.preventDefault();
    try {
      const made = await send<Schemas["JobId"]>("POST", `${root}/jobs`, { name });
      go(href(made.id, "import"));
    } catch (trouble) { setWrong(trouble); }
  };
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("jobs")}</h1>
      <Wrong failure={failure ?? wrong} />
      {!jobs && !failure && <p>{t("loading")}</p>}
      <ul class="cards">
        {jobs?.map((job) => (
          <li key={job.id} class="card">
            <h2><a href={href(job.id, "map")}>{job.name || job.id}</a></h2>
            <p>{t("job.tests", { n: job.summary.planned })}</p>
            <Tally summary={job.summary} />
            {job.problem && <p class="hint">{job.problem.what}</p>}
          </li>
        ))}
      </ul>
      {about?.shared && about.role === "lead" && <p><a class="button" href="#/people/people">{t("people")}</a></p>}
      {about?.can_create_jobs && about.role === "lead" && (
        <form onSubmit={create} class="card">
          <h2>{t("job.new")}</h2>
          <Field label={t("job.name")}>{(id) => <input id={id} value={name} required onInput={(e) => setName(e.currentTarget.value)} />}</Field>
          <button class="strong" type="submit">{t("job.create")}</button>
        </form>
      )}
    </main>
  );
}
