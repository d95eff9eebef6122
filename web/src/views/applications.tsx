import { useEffect, useState } from "preact/hooks";
import { revision } from "../api/live";
import { get, jobPath, root, send } from "../api/client";
import { carriesKey, carriesOrder, reachOf, type Answer } from "../model/carries";
import { decibels, decimal, length, level, nanometres, typed } from "../model/format";
import type { Schemas } from "../model/outcome";
import { go, href, route } from "../model/route";
import { said, t } from "../model/texts";
import { CarriesMark } from "./carries_mark";
import { Engineer } from "./engineer";
import { Cautions, Choice, Field, Mark, useAnswer, Wrong } from "./parts";

type Line = Answer["working"][number];

function ReachPicture({ answer }: { answer: Answer }) {
  const reach = reachOf(answer);
  if (!reach) return null;
  const [width, height] = [300, 130];
  const y = (share: number) => height - share * height;
  return (
    <svg class="reach" viewBox="-8 -14 360 176" role="img" aria-label={t("app.picture", { length: length(reach.metres), loss: decibels(reach.decibels) })}>
      <rect class="allowed" x={0} y={y(reach.box.y)} width={reach.box.x * width} height={reach.box.y * height} />
      <path class="axis" d={`M0 0V${height}H${width}`} />
      <text x={reach.box.x * width} y={height + 16} text-anchor="middle">{length(reach.metres)}</text>
      <text x={reach.box.x * width + 4} y={y(reach.box.y) + 4}>{decibels(reach.decibels)}</text>
      {reach.point && <circle class={carriesKey(answer.carries)} cx={reach.point.x * width} cy={y(reach.point.y)} r={6} />}
    </svg>
  );
}

const figure = (value: number | null, unit: string) => (value == null ? "–" : unit === "m" ? length(value) : `${decimal(value, 2)} ${unit}`);
function lineName(line: Line): string {
  const name = said("app.line", line.what, line.what);
  if (line.at_nm == null) return name;
  return line.at_nm === line.read_nm ? `${name} ${nanometres(line.at_nm)}` : `${name} ${nanometres(line.at_nm)}, ${t("app.read-at", { nm: nanometres(line.read_nm) })}`;
}

function AnswerCard({ answer }: { answer: Answer }) {
  const { job } = route.value;
  const groups = answer.groups.reduce((sum, n) => sum + n, 0);
  return (
    <article class="card answer">
      <h3>{answer.application} <span class="small">{answer.table}</span> · <a href={href(job, "strand", { link: answer.link, strand: answer.worst_strands[0] ?? "" })}>{answer.link}</a></h3>
      <p><CarriesMark carries={answer.carries} /> {groups > 1 && <span class="small">{t("app.groups", { n: answer.groups[0] ?? 0, all: groups, strands: answer.strands_used })}</span>}</p>
      <ReachPicture answer={answer} />
      <ul class="plain">
        {answer.reasons.map((reason) => <li key={reason.code}>{reason.code === "needs_more" ? t("app.needs", { what: answer.needs ?? "" }) : said("carry", reason.code, reason.words)}</li>)}
        {answer.attenuator_db > 0 && <li><b>{t("app.attenuator", { db: decibels(answer.attenuator_db) })}</b></li>}
        {answer.room_m != null && answer.room_m > 0 && <li>{t("app.room", { m: length(answer.room_m) })}</li>}
        {answer.remedies.map((remedy) => (
          <li key={remedy.what}>{t("app.would-take")}: {said("remedy", remedy.what, remedy.what)}{remedy.shorter_m > 0 ? ` ${length(remedy.shorter_m)}` : ` (≤ ${decibels(remedy.saves_db)})`}: {t(remedy.enough ? "app.enough" : "app.not-enough")}</li>
        ))}
      </ul>
      <details>
        <summary>{t("app.working")}</summary>
        <div class="scroll">
          <table>
            <thead><tr><th>{t("rule.what")}</th><th class="n">{t("imp.found")}</th><th class="n">{t("app.allowed")}</th><th>{t("source")}</th></tr></thead>
            <tbody>
              {answer.working.map((line) => (
                <tr key={line.what}><td>{lineName(line)}{line.informative && <span class="small"> {t("app.informative")}</span>}</td><td class="n">{figure(line.found, line.unit)}</td><td class="n">{figure(line.allowed, line.unit)}</td>
                  <td class="small">{line.standing === "from memory" && <b>⚑ </b>}{line.source}{line.note && `. ${line.note}`}</td></tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </article>
  );
}

function Answers({ application, table, link }: { application: string; table: string; link: string }) {
  const { job } = route.value;
  const path = `${jobPath(job)}/applications/answers?${new URLSearchParams({ application, table, link }).toString()}`;
  const { answer, failure } = useAnswer(() => get<Schemas["ApplicationAnswers"]>(path), `${path} ${revision.value}`);
  return (
    <section aria-live="polite">
      <h2>{application || link} {table && <span class="small">{table}</span>}</h2>
      <p><a href={href(job, "applications")}>← {t("app.all")}</a></p>
      <Wrong failure={failure} />
      {!answer && !failure && <p>{t("loading")}</p>}
      {answer?.total === 0 && <p class="card">{t("app.no-answer")}</p>}
      <div class="cards wide">{answer?.answers.map((each, i) => <AnswerCard key={i} answer={each} />)}</div>
      {answer && answer.total > answer.answers.length && <p class="hint">{t("app.more", { n: answer.total - answer.answers.length })}</p>}
    </section>
  );
}

/** A level of live equipment: the outcome comes while it is typed. */
function LiveLevel() {
  const [application, setApplication] = useState("");
  const [end, setEnd] = useState("receive");
  const [text, setText] = useState("");
  const [judged, setJudged] = useState<Schemas["JudgedLevel"] | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const { answer: rows } = useAnswer(() => get<Schemas["ApplicationRow"][]>(`${root}/applications`), "rows");
  const names = [...new Set(rows?.filter((row) => row.numbers.some((number) => number.unit === "dBm")).map((row) => row.application))];
  const value = typed(text);
  useEffect(() => {
    setJudged(null);
    setWrong(null);
    if (value === null || !application) return;
    let stale = false;
    send<Schemas["JudgedLevel"]>("POST", `${root}/level`, { application, end, level_dbm: value }).then(
      (got) => { if (!stale) setJudged(got); }, (trouble: unknown) => { if (!stale) setWrong(trouble); });
    return () => { stale = true; };
  }, [value, application, end]);
  return (
    <section class="card">
      <h2>{t("app.live")}</h2>
      <div class="row">
        <Choice label={t("app.application")} value={application} choose={setApplication} options={[["", "–"], ...names.map((name): [string, string] => [name, name])]} />
        <Choice label={t("app.end")} value={end} choose={setEnd} options={[["receive", t("app.receive")], ["launch", t("app.launch")]]} />
        <Field label={t("read.level")}>{(id) => <input id={id} inputMode="decimal" value={text} onInput={(event) => setText(event.currentTarget.value)} />}</Field>
      </div>
      <div role="status" aria-live="polite" class="verdict">
        {judged && (
          <>
            <p><Mark outcome={judged.outcome} /> {level(judged.level_dbm)} {judged.low_alarm_dbm != null && judged.high_alarm_dbm != null && <span class="small">{t("app.window", { low: level(judged.low_alarm_dbm), high: level(judged.high_alarm_dbm) })}</span>}</p>
            {judged.reason && <p>{said("level", judged.reason_code, judged.reason)}</p>}
            {judged.attenuator_db > 0 && <p><b>{t("app.attenuator", { db: decibels(judged.attenuator_db) })}</b></p>}
            {judged.above_low_db != null && <p class="small">{t("app.above", { db: decibels(judged.above_low_db) })}</p>}
            {judged.below_high_db != null && <p class="small">{t("app.below", { db: decibels(judged.below_high_db) })}</p>}
            {judged.unverified && <p class="hint">⚑ {t("memory")}</p>}
            {judged.average_only_rejects && judged.outcome === "pass" && <p class="hint">{t("app.average")}</p>}
            {judged.source && <p class="hint">{judged.source}</p>}
          </>
        )}
      </div>
      <Wrong failure={wrong} />
      <Cautions kinds={["light"]} />
    </section>
  );
}

function Counts() {
  const { job } = route.value;
  const { answer, failure } = useAnswer(() => get<Schemas["ApplicationCounts"]>(`${jobPath(job)}/applications`), job);
  const [find, setFind] = useState("");
  const shown = answer?.applications.filter((each) => `${each.application} ${each.table} ${each.family}`.toLowerCase().includes(find.toLowerCase()));
  return (
    <>
      <Wrong failure={failure} />
      {!answer && !failure && <p>{t("loading")}</p>}
      {answer && answer.links_without_answer > 0 && <p class="card">{t("app.unknown-fibre", { n: answer.links_without_answer })}</p>}
      {answer && (
        <>
          <Field label={t("app.find")}>{(id) => <input id={id} type="search" value={find} onInput={(event) => setFind(event.currentTarget.value)} />}</Field>
          <div class="scroll">
            <table class="counts">
              <thead><tr><th>{t("app.application")}</th>{carriesOrder.map((each) => <th key={each} class="n"><CarriesMark carries={each} /></th>)}</tr></thead>
              <tbody>
                {shown?.map((each) => (
                  <tr key={`${each.application} ${each.table}`}>
                    <td><a class="target" href={href(job, "applications", { application: each.application, table: each.table })}>{each.application}</a> <span class="small">{each.table}</span></td>
                    {each.groups.map((n, i) => <td key={i} class="n">{n > 0 ? n : "·"}</td>)}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          <p class="hint">{t("app.help")}</p>
        </>
      )}
      <LiveLevel />
      <Engineer />
    </>
  );
}

export function Applications() {
  const { job, query } = route.value;
  const [application, table, link] = [query.get("application") ?? "", query.get("table") ?? "", query.get("link") ?? ""];
  useEffect(() => { if (query.has("application") && !application) go(href(job, "applications")); }, [query]);
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("applications")}</h1>
      {application || link ? <Answers application={application} table={table} link={link} /> : <Counts />}
    </main>
  );
}
