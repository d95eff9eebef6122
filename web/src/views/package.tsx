// The page of a package: what a reviewer opens from a disk, years later, with nothing but a browser.
import { useEffect, useMemo, useState } from "preact/hooks";
import { arrow, length, nanometres } from "../model/format";
import { outcomes } from "../model/outcome";
import { linesOf, originOf, testOf, wanted, type Line, type Order, type PackageData } from "../model/package";
import { t } from "../model/texts";
import { StrandList } from "./package_list";
import { Chip, Choice, Field, Tally, word } from "./parts";
import { Objections } from "./objections";
import { TestCard } from "./test_card";
import { Events, Strip } from "./trace_events";

function Strand({ data, line }: { data: PackageData; line: Line }) {
  const [link, strand, cable, endA, endB, building, fibre, metres] = data.strands[line.strand]!;
  const tests = Array.from({ length: line.end - line.first }, (_, i) => line.first + i);
  const findings = data.findings.filter((finding) => finding.tests.some((test) => test >= line.first && test < line.end));
  return (
    <article aria-live="polite">
      <h2>{link} <Chip strand={strand} /></h2>
      <dl class="figures">
        {cable && <div><dt>{t("cable")}</dt><dd>{cable}</dd></div>}
        {building && <div><dt>{t("map.building")}</dt><dd>{building}</dd></div>}
        {(endA || endB) && <div><dt>{t("ends")}</dt><dd>{endA} → {endB}</dd></div>}
        <div><dt>{t("fibre")}</dt><dd>{fibre || "–"}</dd></div>
        <div><dt>{t("length")}</dt><dd>{length(metres)}</dd></div>
      </dl>
      {findings.map((finding) => <p key={finding.id}><b>{finding.id}</b> {finding.summary}</p>)}
      {tests.map((at) => {
        const origin = originOf(data, at);
        return (
          <div key={at}>
            <TestCard test={testOf(data, at)} />
            {origin && (
              <p class="small">
                {t("pack.origin", { row: origin.row, time: origin.time || "–", person: origin.person || "–" })}{" "}
                {origin.path ? <a href={origin.path}>{origin.file}</a> : origin.file}
                {origin.others > 0 && <> · {t("pack.others", { n: origin.others })}</>}
              </p>
            )}
          </div>
        );
      })}
      {data.traces.filter((trace) => trace.row === line.strand).map((trace, i) => (
        <section key={i} class="card">
          <h3>{t("traces")} {nanometres(trace.wavelength_nm)}</h3>
          <p>{trace.words}{trace.length_note && ` ${trace.length_note}`}</p>
          <Strip judged={trace} />
          <Events judged={trace} />
          <p class="small">{trace.files.map((file, n) => <span key={n}>{n > 0 && " · "}{arrow(file.direction)} {file.path ? <a href={file.path}>{file.name}</a> : file.name}</span>)}</p>
        </section>
      ))}
    </article>
  );
}

function Findings({ data }: { data: PackageData }) {
  if (data.findings.length === 0) return <p>{t("find.none")}</p>;
  return (
    <ul class="cards">
      {data.findings.map((finding) => (
        <li key={finding.id} class="card">
          <p class={`weight ${finding.weight}`}>{finding.id}</p>
          <p>{finding.summary}</p>
          <p class="small">{finding.advice}</p>
          {finding.acknowledged && <p class="small">✓ {finding.acknowledged}</p>}
        </li>
      ))}
    </ul>
  );
}

/** "#link=…&strand=…", as a label's code or another page gives it. */
function asked(data: PackageData): number {
  const words = new URLSearchParams(location.hash.slice(1));
  const [link, strand] = [words.get("link"), words.get("strand")];
  return data.strands.findIndex((row) => row[0] === link && (strand === null || row[1] === strand));
}

export function PackagePage({ data }: { data: PackageData }) {
  const lines = useMemo(() => linesOf(data), [data]);
  const [wish, setWish] = useState({ find: "", outcome: "", order: "worst" as Order });
  const shown = useMemo(() => wanted(lines, wish), [lines, wish]);
  const [chosen, setChosen] = useState(() => asked(data));
  useEffect(() => {
    const follow = () => { const at = asked(data); if (at >= 0) setChosen(at); };
    addEventListener("hashchange", follow);
    return () => removeEventListener("hashchange", follow);
  }, []);
  const choose = (strand: number) => {
    setChosen(strand);
    const [link, name] = data.strands[strand]!;
    history.replaceState(null, "", `#${new URLSearchParams({ link, strand: name }).toString()}`);
  };
  const line = lines[chosen] ?? shown[0];
  return (
    <main class="page package" id="content">
      <header>
        <h1>{data.title || data.job}</h1>
        <p>{[data.title ? data.job : "", data.site, data.client, data.contractor].filter((text) => text).join(" · ")}</p>
        <p class="small">{data.rules.map((rule) => rule.title).join("; ")} · {t(data.guarded ? "guard.U" : "guard.none")}{data.profile ? ` · ${data.profile}` : ""} · {data.made} · {data.program}</p>
        <Tally summary={data.summary} />
        <nav class="small"><a href="report.pdf">report.pdf</a> · <a href="tests.xlsx">tests.xlsx</a> · <a href="facts.csv">facts.csv</a> · <a href="README.txt">{t("pack.check")}</a></nav>
      </header>
      <details>
        <summary>{t("pack.demands")} ({data.preflight.items.length})</summary>
        <Objections items={data.preflight.items} />
      </details>
      <details>
        <summary>{t("findings")} ({data.findings.length})</summary>
        <Findings data={data} />
      </details>
      <section class="leaf">
        <div>
          <div class="filters">
            <Field label={t("map.find")}>{(id) => <input id={id} type="search" value={wish.find} onInput={(e) => setWish({ ...wish, find: e.currentTarget.value })} />}</Field>
            <Choice label={t("outcome")} value={wish.outcome} choose={(outcome) => setWish({ ...wish, outcome })}
              options={[["", t("map.all")], ...outcomes.map((each): [string, string] => [each, word(each)])]} />
            <Choice label={t("read.order")} value={wish.order} choose={(order) => setWish({ ...wish, order: order as Order })}
              options={[["worst", t("pack.worst")], ["margin", t("pack.margin")], ["schedule", t("pack.schedule")]]} />
          </div>
          <p class="small" role="status">{t("map.shown", { n: shown.length, all: lines.length })}</p>
          <StrandList data={data} lines={shown} chosen={line?.strand ?? -1} choose={choose} />
        </div>
        {line && <Strand data={data} line={line} />}
      </section>
    </main>
  );
}
