// What changed since an older recording, beyond uncertainty: chosen from the disk, compared by the service.
import { useRef, useState } from "preact/hooks";
import { get, jobPath, root, send, upload } from "../api/client";
import { decimal, percent } from "../model/format";
import { marginLine } from "../model/margins";
import type { Schemas } from "../model/outcome";
import { href, route } from "../model/route";
import { t } from "../model/texts";
import { Field, Mark, Wrong, WrongWords } from "./parts";

type Compared = Schemas["ComparedTest"];
type Task = Schemas["Task"];
const name = (row: Compared): string => `${row.link} ${row.strand}, ${row.wavelength_nm} nm${row.direction ? ` ${row.direction}` : ""}`;
const figure = (value: number | undefined): string => (value === undefined ? "–" : decimal(value, 2));

function Margins({ row, all }: { row: Compared; all: Schemas["Comparison"] }) {
  const line = marginLine(row, all, 120);
  if (!line) return <>–</>;
  const told = t("compare.picture", { before: figure(row.before.margin_db), after: figure(row.after.margin_db) });
  return (
    <svg class="margins" viewBox="0 0 120 16" width="120" height="16" role="img" aria-label={told}>
      <line class="limit" x1={line.limit} x2={line.limit} y1={1} y2={15} />
      <line class="way" x1={line.before} x2={line.after} y1={8} y2={8} />
      <circle class="old" cx={line.before} cy={8} r={3.5} />
      <circle class="new" cx={line.after} cy={8} r={3.5} />
    </svg>
  );
}

function Changes({ all }: { all: Schemas["Comparison"] }) {
  if (all.changed_total === 0) return <p>✓ {t("compare.none")}</p>;
  return (
    <>
      <p class="hint">{t("compare.rate", { rate: percent(all.false_alarm_rate) })} {t("compare.key")}</p>
      <div class="scroll" tabIndex={0} role="region" aria-label={t("compare.changed")}>
        <table class="compared">
          <thead><tr><th>{t("compare.changed")}</th><th>{t("compare.loss")}</th><th>{t("compare.change")}</th><th>{t("compare.margin")}</th><th>{t("compare.after")}</th><th>{t("compare.chance")}</th></tr></thead>
          <tbody>
            {all.changed.map((row) => (
              <tr key={name(row)}>
                <td><a href={href(route.value.job, "strand", { link: row.link, strand: row.strand })}>{name(row)}</a></td>
                <td>{figure(row.before.loss_db)} → {figure(row.after.loss_db)}</td>
                <td>{(row.change_db ?? 0) > 0 ? `▲ ${t("compare.more")}` : `▽ ${t("compare.less")}`}<br />{figure(row.change_db)} ± {figure(row.expanded_uncertainty_db)}</td>
                <td><Margins row={row} all={all} /></td>
                <td><Mark outcome={row.after.outcome} /></td>
                <td>{(row.adjusted_chance ?? 1) < 0.0001 ? `< ${decimal(0.0001, 4)}` : decimal(row.adjusted_chance ?? 1, 4)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {all.changed.length < all.changed_total && <p>{t("compare.rows", { shown: all.changed.length, all: all.changed_total })}</p>}
    </>
  );
}

function Outcomes({ all }: { all: Schemas["Comparison"] }) {
  if (all.outcomes_total === 0) return null;
  return (
    <section class="card">
      <h2>{t("compare.outcomes")}</h2>
      <table>
        <thead><tr><th>{t("compare.outcomes")}</th><th>{t("compare.before")}</th><th>{t("compare.after")}</th></tr></thead>
        <tbody>
          {all.outcomes.map((row) => <tr key={name(row)}><td>{name(row)}</td><td><Mark outcome={row.before.outcome} /></td><td><Mark outcome={row.after.outcome} /></td></tr>)}
        </tbody>
      </table>
      {all.outcomes.length < all.outcomes_total && <p>{t("compare.rows", { shown: all.outcomes.length, all: all.outcomes_total })}</p>}
    </section>
  );
}

function Found({ all }: { all: Schemas["Comparison"] }) {
  const moved = all.moves.filter((move) => move.beyond_uncertainty);
  return (
    <>
      <section class="card">
        <h2>{all.before} → {all.after}</h2>
        <p>{t("compare.sum", { both: all.in_both, compared: all.compared, changed: all.changed_total, outcomes: all.outcomes_total })}</p>
        {moved.map((move, at) => <p key={at}>◐ {t("compare.move", { n: move.tests, nm: move.wavelength_nm, move: decimal(move.move_db, 3), u: decimal(2 * move.uncertainty_db, 3) })}</p>)}
        <Changes all={all} />
      </section>
      <Outcomes all={all} />
      {all.gone_total > 0 && <section class="card"><h2>{t("compare.gone", { n: all.gone_total })}</h2><p>{all.gone_strands.join(", ")}</p></section>}
      {all.new_total > 0 && <section class="card"><h2>{t("compare.new", { n: all.new_total })}</h2><p>{all.new_strands.join(", ")}</p></section>}
    </>
  );
}

export function Compare() {
  const { job } = route.value;
  const [task, setTask] = useState<Task | null>(null);
  const [all, setAll] = useState<Schemas["Comparison"] | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const latest = useRef("");
  const watch = async (id: string): Promise<void> => {
    const now = await get<Task>(`${root}/tasks/${id}`);
    if (latest.current !== id) return;
    setTask(now);
    if (now.state === "running") setTimeout(() => void watch(id).catch(setWrong), 250);
    if (now.state === "done") setAll(await get<Schemas["Comparison"]>(`${root}/tasks/${id}/file`));
  };
  const choose = async (file: File | undefined) => {
    if (!file) return;
    setWrong(null);
    setAll(null);
    setTask(null);
    try {
      const begun = await upload<Schemas["TaskId"]>(`${jobPath(job)}/compare?${new URLSearchParams({ file: file.name }).toString()}`, file);
      latest.current = begun.task;
      await watch(begun.task);
    } catch (trouble) { setWrong(trouble); }
  };
  return (
    <main id="content" class="page" tabIndex={-1}>
      <p><a href={href(job, "handover")}>← {t("handover")}</a></p>
      <h1>{t("compare")}</h1>
      <p class="hint">{t("compare.help")}</p>
      <Field label={t("compare.file")}>
        {(id) => <input id={id} type="file" accept=".zip,.json" onChange={(event) => { void choose(event.currentTarget.files?.[0]); event.currentTarget.value = ""; }} />}
      </Field>
      <Wrong failure={wrong} />
      <div role="status">
        {task?.state === "running" && <p><progress value={task.progress} max={1} /> <button onClick={() => void send("DELETE", `${root}/tasks/${task.task}`).catch(setWrong)}>{t("cancel")}</button></p>}
        {task?.error && <WrongWords words={task.error.what} />}
      </div>
      {all && <Found all={all} />}
    </main>
  );
}
