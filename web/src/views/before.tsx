import { useState } from "preact/hooks";
import { revision } from "../api/live";
import { get, jobPath } from "../api/client";
import { decibels, decimal, length, likely, nanometres, percent } from "../model/format";
import { humpOf } from "../model/hump";
import type { Schemas } from "../model/outcome";
import { route } from "../model/route";
import { said, t } from "../model/texts";
import { Cautions, Choice, useAnswer, Wrong } from "./parts";

type Prediction = Schemas["Prediction"];
type Link = Schemas["LinkPrediction"];

function Picture({ link }: { link: Link }) {
  const [width, height] = [190, 40];
  const hump = humpOf(link.worst, width, height);
  if (!hump) return null;
  const words = t("before.picture", { loss: decibels(link.worst.expected_db), limit: decibels(link.worst.accepted_up_to_db), share: likely(link.worst.accepted ?? 0) });
  return (
    <svg class="hump" viewBox="-2 -4 196 50" role="img" aria-label={words}>
      <path class="whole" d={hump.whole} />
      <path class="beyond" d={hump.beyond} />
      <path class="axis" d={`M0 ${height}H${width}`} />
      <path class="expected" d={`M${hump.expected} ${height}v5`} />
      <path class="limit" d={`M${hump.limit} -3V${height + 5}`} />
    </svg>
  );
}

function Working({ link }: { link: Link }) {
  const design = link.worst;
  return (
    <details>
      <summary>{link.link}</summary>
      <p class="small">{design.fibre ?? ""} {length(design.length_m)} · {design.connections ?? "–"} {t("connections")} · {design.splices ?? "–"} {t("splices")}</p>
      {design.problem && <p class="caution">{[design.problem.found, design.problem.expected, design.problem.advice].filter(Boolean).join(". ")}</p>}
      {design.parts && (
        <div class="scroll" tabIndex={0} role="region" aria-label={link.link}>
          <table>
            <thead><tr><th>{t("rule.what")}</th><th class="n">{t("count")}</th><th class="n">{t("each")}</th><th class="n">{t("total")}</th><th class="n">±</th><th>{t("source")}</th></tr></thead>
            <tbody>
              {design.parts.map((part) => (
                <tr key={part.term}><td>{said("term", part.term, part.term)}</td><td class="n">{decimal(part.count, part.term === "fibre" ? 3 : 0)}</td><td class="n">{decimal(part.each_db, 3)}</td><td class="n">{decimal(part.mean_db, 3)}</td><td class="n">{decimal(part.deviation_db, 3)}</td><td class="small">{part.source}</td></tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {design.notes?.map((note) => <p key={note} class="hint">{note}</p>)}
    </details>
  );
}

function Row({ link, least }: { link: Link; least: number }) {
  const { worst } = link;
  const accepted = worst.accepted;
  const hopeless = accepted !== undefined && worst.limit_db != null && worst.expected_db! > worst.limit_db;
  const mark = accepted === undefined ? ["○", "cannot"] : hopeless ? ["✕", "fail"] : accepted < least ? ["◐", "doubt"] : ["●", "good"];
  return (
    <tr>
      <td><Working link={link} /></td>
      <td class="n"><span class={`chance ${mark[1]}`}><span aria-hidden="true">{mark[0]}</span> {accepted === undefined ? t(`before.cannot`) : likely(accepted)}</span><br /><span class="small">{nanometres(worst.wavelength_nm || null)}</span></td>
      <td><Picture link={link} /></td>
      <td class="n">{decibels(worst.expected_db)}<span class="small"> {worst.deviation_db === undefined ? "" : `± ${decimal(worst.deviation_db, 2)}`}</span></td>
      <td class="n">{decibels(worst.quantile_95_db)}</td>
      <td class="n">{decibels(worst.limit_db)}</td>
      <td class="n">{link.tests}</td>
      <td class="n">{decimal(link.minutes, 0)}</td>
    </tr>
  );
}

function Warnings({ warnings }: { warnings: Prediction["warnings"] }) {
  return (
    <>
      {warnings.slice(0, 12).map((warning) => (
        <article key={warning.link} class="card">
          <p><b><span aria-hidden="true">{warning.hopeless ? "✕" : "◐"}</span> {warning.words}</b></p>
          <ul class="plain">{warning.mends.map((mend) => <li key={mend.kind}>{mend.words}</li>)}</ul>
        </article>
      ))}
      {warnings.length > 12 && <p class="hint">{t("before.more", { n: warnings.length - 12 })}</p>}
    </>
  );
}

function Plan({ prediction }: { prediction: Prediction }) {
  const { summary, plan } = prediction;
  return (
    <>
      <dl class="figures">
        <div><dt>{t("before.planned")}</dt><dd>{summary.planned}</dd></div>
        {summary.not_predicted > 0 && <div><dt>{t("before.not-predicted")}</dt><dd>{summary.not_predicted}</dd></div>}
        <div><dt>{t("before.failing")}</dt><dd>{decimal(summary.expected_failing_strands, 1)} <span class="small">{t("before.range", { low: summary.low, high: summary.high })}</span></dd></div>
        <div><dt>{t("before.none")}</dt><dd>{likely(summary.none_probability)}</dd></div>
        <div><dt>{t("before.time")}</dt><dd>{decimal(plan.minutes / 60, 1)} h</dd></div>
        <div><dt>{t("before.days")}</dt><dd>{decimal(plan.days, 1)}</dd></div>
      </dl>
      <details>
        <summary>{t("before.plan")}</summary>
        <ul class="plain">
          {plan.crews.map((crew, i) => <li key={i}>{t("before.crew", { n: i + 1, links: crew.links.length, tests: crew.tests, references: crew.references, hours: decimal(crew.minutes / 60, 1) })}</li>)}
        </ul>
        <p class="small">{t("before.times", { link: plan.link_minutes.value, strand: plan.strand_minutes.value, reading: plan.reading_minutes.value, reference: plan.reference_minutes.value, session: plan.session_hours.value, day: plan.day_hours.value, source: plan.strand_minutes.source })}</p>
      </details>
    </>
  );
}

const same = (names: string[]): [string, string][] => names.map((name) => [name, name]);

export function Before() {
  const { job } = route.value;
  const [crews, setCrews] = useState("1");
  const [grade, setGrade] = useState("");
  const [multimode, setMultimode] = useState("");
  const query = new URLSearchParams({ crews, ...(grade ? { grade } : {}), ...(multimode ? { grade_multimode: multimode } : {}) });
  const { answer, failure } = useAnswer(() => get<Prediction>(`${jobPath(job)}/prediction?${query}`), `${query} ${revision.value}`);
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("before")}</h1>
      <Wrong failure={failure} />
      {!answer && !failure && <p>{t("loading")}</p>}
      {answer && answer.warnings.length > 0 && <h2>{t("before.warnings")}</h2>}
      {answer && <Warnings warnings={answer.warnings} />}
      {answer && answer.warnings.length === 0 && answer.summary.not_predicted === 0 && <p class="card">● {t("before.good", { share: percent(answer.least_probability) })}</p>}
      <div class="row">
        <Choice label={t("before.crews")} value={crews} choose={setCrews} options={same(["1", "2", "3", "4", "5", "6", "8", "10"])} />
        <Choice label={t("before.grade")} value={grade} choose={setGrade} options={[["", answer ? t("before.usual", { grade: answer.single_mode_grade }) : "–"], ...same(["A", "B", "C", "D"])]} />
        <Choice label={t("before.grade-multimode")} value={multimode} choose={setMultimode} options={[["", answer ? t("before.usual", { grade: answer.multimode_grade }) : "–"], ...same(["Bm", "Cm"])]} />
      </div>
      {answer && <Plan prediction={answer} />}
      {answer && (
        <div class="scroll" tabIndex={0} role="region" aria-label={t("before.links")}>
          <table class="before">
            <thead><tr><th>{t("link")}</th><th class="n">{t("before.accepted")}</th><th>{t("before.distribution")}</th><th class="n">{t("before.expected")}</th><th class="n">95 %</th><th class="n">{t("limit")}</th><th class="n">{t("before.tests")}</th><th class="n">min</th></tr></thead>
            <tbody>{answer.links.map((link) => <Row key={link.link} link={link} least={answer.least_probability} />)}</tbody>
          </table>
        </div>
      )}
      {answer && answer.total > answer.links.length && <p class="hint">{t("before.more-links", { n: answer.total - answer.links.length })}</p>}
      <p class="hint">{t("before.help")}</p>
      <Cautions kinds={["light", "glass"]} />
    </main>
  );
}
