import { useState } from "preact/hooks";
import { job as overview, revision } from "../api/live";
import { get, jobPath, root, send } from "../api/client";
import { percent } from "../model/format";
import type { Schemas } from "../model/outcome";
import { href, route } from "../model/route";
import { t } from "../model/texts";
import { firstOrder, HandoverChoices } from "./handover_choices";
import { Tally, useAnswer, Wrong, WrongWords } from "./parts";
import { Preflight } from "./preflight";

type Task = Schemas["Task"];
const forms = ["package", "pdf", "xlsx", "csv", "json", "certificates", "labels"] as const;

export function Handover() {
  const { job } = route.value;
  const [order, setOrder] = useState(firstOrder);
  const [task, setTask] = useState<Task | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const { answer: left } = useAnswer(() => get<Schemas["Leftovers"]>(`${jobPath(job)}/leftovers`), revision.value);
  const watch = async (id: string): Promise<void> => {
    const now = await get<Task>(`${root}/tasks/${id}`);
    setTask(now);
    if (now.state === "running") setTimeout(() => void watch(id).catch(setWrong), 250);
  };
  const make = async (what: (typeof forms)[number]) => {
    setWrong(null);
    try {
      const made = await send<Schemas["TaskId"]>("POST", `${jobPath(job)}/handover`, { what, ...order });
      await watch(made.task);
    } catch (trouble) { setWrong(trouble); }
  };
  const summary = overview.value?.summary;
  const open = summary ? summary.planned - summary.pass - summary.conditional_pass : 0;
  const ready = summary && open === 0 && left?.unread_total === 0 && left.unmatched_total === 0;
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("handover")}</h1>
      <p><a href={href(route.value.job, "audit")}>{t("audit")}</a> · <a href={href(route.value.job, "compare")}>{t("compare")}</a></p>
      <section class="card">
        <h2>{t("hand.missing")}</h2>
        {summary && <Tally summary={summary} />}
        {ready ? <p>✓ {t("hand.ready")}</p> : (
          <ul>
            {left && left.unread_total > 0 && <li>{t("hand.unread", { n: left.unread_total })}</li>}
            {left && left.unmatched_total > 0 && <li>{t("hand.unmatched", { n: left.unmatched_total })}</li>}
          </ul>
        )}
      </section>
      <Preflight />
      <section class="card">
        <HandoverChoices job={job} order={order} change={setOrder} />
        <p class="buttons">{forms.map((what) => <button key={what} disabled={task?.state === "running"} onClick={() => void make(what)}>{t(`hand.${what}`)}</button>)}</p>
        <Wrong failure={wrong} />
        {task && (
          <div role="status">
            {task.state === "running" && <p><progress value={task.progress} max={1} /> {percent(task.progress)} <button onClick={() => void send("DELETE", `${root}/tasks/${task.task}`).catch(setWrong)}>{t("cancel")}</button></p>}
            {task.state === "done" && <p><a class="button" href={`${root}/tasks/${task.task}/file`} download={task.file ?? ""}>{t("hand.save", { file: task.file ?? "" })}</a></p>}
            {task.error && <WrongWords words={task.error.what} />}
          </div>
        )}
      </section>
    </main>
  );
}
