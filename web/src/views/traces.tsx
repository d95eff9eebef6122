import { useEffect, useMemo, useState } from "preact/hooks";
import { bytes, get, jobPath } from "../api/client";
import { revision } from "../api/live";
import { along, arrow, decibels, decimal, length, moment, nanometres } from "../model/format";
import type { Schemas } from "../model/outcome";
import { go, href, route } from "../model/route";
import { t, type Key } from "../model/texts";
import { curveOf, shapeOf, wholeSight, type Curve, type HeldTrace, type Judged, type Sight } from "../model/trace";
import { Cautions, Chip, Field, useAnswer, Wrong } from "./parts";
import { maySplice, SpliceAgain } from "./splice_again";
import { Events, kindWords, measured } from "./trace_events";
import { TracePicture, type Drawn } from "./trace_picture";

type Found = Schemas["Trace"];
interface Loaded { trace: Found; curve: Curve }
const loaded = new Map<string, Promise<Loaded>>();

/** Samples never change: each trace is fetched once. */
function load(job: string, fact: string): Promise<Loaded> {
  const path = `${jobPath(job)}/traces/${encodeURIComponent(fact)}`;
  const known = loaded.get(path);
  if (known) return known;
  const fresh = Promise.all([get<Found>(path), bytes(`${path}/levels`)]).then(([trace, samples]) => ({ trace, curve: curveOf(trace, new Float32Array(samples)) }));
  if (loaded.size >= 60) loaded.delete(loaded.keys().next().value!);
  loaded.set(path, fresh);
  fresh.catch(() => loaded.delete(path));
  return fresh;
}
function useLoaded(job: string, facts: string[]): { all: Map<string, Loaded>; failure: unknown } {
  const [all, setAll] = useState(new Map<string, Loaded>());
  const [failure, setFailure] = useState<unknown>(null);
  const wanted = facts.join(" ");
  useEffect(() => {
    let stale = false;
    setFailure(null);
    for (const fact of facts)
      load(job, fact).then((got) => { if (!stale) setAll((before) => new Map(before).set(fact, got)); }, (wrong: unknown) => { if (!stale) setFailure(wrong); });
    return () => { stale = true; };
  }, [job, wanted]);
  return { all, failure };
}


function Readout({ job, fact, cursors }: { job: string; fact: string; cursors: [number, number] }) {
  const [read, setRead] = useState<Schemas["TraceReadout"] | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const [one, other] = cursors;
  useEffect(() => {
    let stale = false;
    const ask = setTimeout(() => {
      get<Schemas["TraceReadout"]>(`${jobPath(job)}/traces/${encodeURIComponent(fact)}/readout?${new URLSearchParams({ one_m: one.toFixed(3), other_m: other.toFixed(3) }).toString()}`).then(
        (got) => { if (!stale) { setRead(got); setWrong(null); } }, (trouble: unknown) => { if (!stale) setWrong(trouble); });
    }, 60);
    return () => { stale = true; clearTimeout(ask); };
  }, [job, fact, one, other]);
  return (
    <section aria-live="polite" class="readout">
      <Wrong failure={wrong} />
      {read && (
        <dl class="figures">
          <div><dt>1, 2</dt><dd>{along(read.one_m)}, {along(read.other_m)}</dd></div>
          <div><dt>{t("trace.apart")}</dt><dd>{along(read.apart_m)}</dd></div>
          <div><dt>{t("trace.two-point")}</dt><dd>{decimal(read.two_point_db, 3)} dB</dd></div>
          <div><dt>{t("trace.line")}</dt><dd>{read.attenuation_db_km == null ? "–" : `${measured(read.attenuation_db_km, read.attenuation_uncertainty_db_km)} dB/km`}</dd></div>
          <div><dt>{t("trace.line-loss")}</dt><dd>{read.line_db == null ? "–" : `${decimal(read.line_db, 3)} dB`}</dd></div>
          <div><dt>{t("trace.residual")}</dt><dd>{read.residual_db == null ? "–" : `${decimal(read.residual_db, 3)} dB (${read.samples})`}</dd></div>
        </dl>
      )}
    </section>
  );
}

/** What one trace shows by itself, with the way it was taken. */
function Taken({ held, found }: { held: HeldTrace; found: Found | undefined }) {
  return (
    <details>
      <summary>{arrow(held.direction)} {nanometres(held.wavelength_nm)} · {held.file}{held.counts ? "" : ` (${t("trace.later")})`}</summary>
      <p class="small">{t("trace.taken", { pulse: decimal(held.pulse_ns, 0), index: decimal(held.group_index, 5), launch: length(held.launch_m), receive: length(held.receive_m), time: moment(held.taken) })} {held.instrument} {held.operator}</p>
      {!held.direction_stated && <p class="hint">{t("trace.no-direction")}</p>}
      {found && (
        <>
          <div class="scroll"><table>
            <thead><tr><th>{t("trace.event")}</th><th class="n">{t("trace.from-a-end")}</th><th class="n">{t("loss")}, dB</th><th class="n">{t("trace.reflectance")}</th><th /></tr></thead>
            <tbody>{found.events.map((event, i) => (
              <tr key={i}><td>{shapeOf(event.kind)} {kindWords(event.kind)}</td><td class="n">{along(event.position_m)}</td><td class="n">{measured(event.loss_db, event.loss_uncertainty_db)}</td>
                <td class="n">{event.reflectance_db == null ? "–" : `${event.saturated ? "≥ " : ""}${decimal(event.reflectance_db, 1)} dB`}</td><td class="small">{event.echo}</td></tr>
            ))}</tbody>
          </table></div>
          <ul class="notes">{found.notes.map((note, i) => <li key={i}>{note}</li>)}</ul>
          <p class="small">SHA-256 {found.sha256}</p>
        </>
      )}
    </details>
  );
}

function Whole({ groups, link, strand, others }: { groups: Judged[]; link: string; strand: string; others: Schemas["TracedStrand"][] }) {
  const { job } = route.value;
  const [window_, setWindow] = useState(0);
  const [every, setEvery] = useState(false);
  const [beside, setBeside] = useState<string[]>([]);
  const judged = groups[Math.min(window_, groups.length - 1)]!;
  const counting = (every ? groups : [judged]).flatMap((group) => group.traces.filter((trace) => trace.counts));
  const { answer: more } = useAnswer(() => Promise.all(beside.map((name) => get<Schemas["Traces"]>(`${jobPath(job)}/traces?${new URLSearchParams({ link, strand: name }).toString()}`))), beside.join(" "));
  const besides = (more ?? []).flatMap((one) => one.judged.filter((group) => group.wavelength_nm === judged.wavelength_nm).flatMap((group) => group.traces.filter((trace) => trace.counts && trace.direction === "AB")));
  const { all, failure } = useLoaded(job, [...counting, ...besides].map((trace) => trace.fact));
  const [chosen, setChosen] = useState(-1);
  const [sight, setSight] = useState<Sight>(wholeSight(judged.length_m, judged.sum_db));
  const [cursors, setCursors] = useState<[number, number]>([judged.length_m * 0.25, judged.length_m * 0.75]);
  const [reading, setReading] = useState("");
  const drawn = useMemo<Drawn[]>(() => [...besides.map((trace) => ({ trace, beside: true })), ...counting.map((trace) => ({ trace, beside: false }))]
    .flatMap(({ trace, beside: aside }) => { const got = all.get(trace.fact); return got ? [{ key: trace.fact, name: trace.file, from: trace.direction, curve: got.curve, beside: aside }] : []; }),
  [all, counting.map((trace) => trace.fact).join(" "), besides.map((trace) => trace.fact).join(" ")]);
  const read = counting.find((trace) => trace.fact === reading) ?? counting[0];
  const choose = (event: number) => {
    setChosen(event);
    const at = judged.events[event]?.position_m;
    if (at === undefined) return;
    const half = (sight.to - sight.from) / 2;
    if (at < sight.from || at > sight.to) setSight({ ...sight, from: at - half, to: at + half });
  };
  const here = judged.events[chosen];
  const contradicts = judged.agreement === "contradict" || judged.agreement === "suspect connection" || judged.broken_from_a_m != null || judged.broken_from_b_m != null;
  return (
    <>
      <div class="buttons" role="group" aria-label={t("trace.wavelengths")}>
        {groups.map((group, i) => <button key={i} aria-pressed={group === judged} onClick={() => { setWindow(i); setChosen(-1); }}>{nanometres(group.wavelength_nm)}</button>)}
        {groups.length > 1 && <button aria-pressed={every} onClick={() => setEvery(!every)}>{t("trace.all-wavelengths")}</button>}
      </div>
      <Wrong failure={failure} />
      <TracePicture {...{ drawn, events: judged.events, chosen, choose, cursors, setCursors, sight, setSight }} whole={() => setSight(wholeSight(judged.length_m, judged.sum_db))} />
      <p class="here" aria-live="polite">{here && `${shapeOf(here.kind)} ${kindWords(here.kind)}, ${along(here.position_m)}, ${measured(here.mean_db ?? here.from_a_db ?? here.from_b_db, here.mean_uncertainty_db ?? here.from_a_uncertainty_db ?? here.from_b_uncertainty_db)} dB`}</p>
      {counting.length > 1 && (
        <div class="buttons" role="group" aria-label={t("trace.read-on")}>
          {counting.map((trace) => <button key={trace.fact} aria-pressed={trace === read} onClick={() => setReading(trace.fact)}>{arrow(trace.direction)} {nanometres(trace.wavelength_nm)}</button>)}
        </div>
      )}
      {read && <Readout job={job} fact={read.fact} cursors={cursors} />}
      <section class={contradicts ? "wrong" : "card"}>
        <p>{contradicts ? "✕ " : ""}{judged.words}</p>
        {judged.advice && <p><b>{judged.advice}</b></p>}
        {judged.length_note && <p>{judged.length_note}</p>}
        {!(judged.near_end_measured && judged.far_end_measured) && <p class="hint">{t("trace.ends")}</p>}
        <p class="small">{t("trace.sum")}: {measured(judged.sum_db, judged.sum_uncertainty_db)} dB · {t("length")} {length(judged.length_m)} · <a href={href(job, "strand", { link, strand })}>{t("strand")}</a></p>
      </section>
      <h2>{t("trace.events")}</h2>
      <Events judged={judged} chosen={chosen} choose={choose} />
      {judged.span_mean_db != null && (
        <p class="small">{judged.span_verdict === "beyond" ? "✕ " : judged.span_verdict === "within" ? "✓ " : ""}{t("splice.span")}: {decimal(judged.span_mean_db, 3)} dB, {t("limit")} {decibels(judged.span_limit_db)}, {judged.span_limit_source}</p>
      )}
      {here && maySplice(here) && <SpliceAgain key={`${judged.wavelength_nm} ${here.position_m} ${here.attempts}`} {...{ job, link, strand, event: here }} />}
      {others.length > 0 && (
        <details>
          <summary>{t("trace.beside", { n: beside.length })}</summary>
          <div class="row">
            {others.slice(0, 48).map((other) => (
              <label key={other.strand} class="tick"><input type="checkbox" checked={beside.includes(other.strand)} disabled={beside.length >= 24 && !beside.includes(other.strand)}
                onChange={(event) => setBeside(event.currentTarget.checked ? [...beside, other.strand] : beside.filter((name) => name !== other.strand))} /> <Chip strand={other.strand} /></label>
            ))}
          </div>
        </details>
      )}
      <h2>{t("trace.each")}</h2>
      {groups.flatMap((group) => group.traces).map((held) => <Taken key={held.fact} held={held} found={all.get(held.fact)?.trace} />)}
    </>
  );
}

const agreementShape: Record<Judged["agreement"], string> = { agree: "✓", "unseen connection": "◐", "suspect connection": "✕", contradict: "✕", "no trace": "–" };

function List({ lines }: { lines: Schemas["TracedStrand"][] }) {
  const { job } = route.value;
  const [find, setFind] = useState("");
  const fitting = lines.filter((line) => `${line.link}/${line.strand}`.toLowerCase().includes(find.toLowerCase()));
  if (lines.length === 0) return <p class="card">{t("trace.none")} <a href={href(job, "import")}>{t("import")}</a></p>;
  return (
    <>
      <Field label={t("map.find")}>{(id) => <input id={id} type="search" value={find} onInput={(event) => setFind(event.currentTarget.value)} />}</Field>
      <div class="scroll" tabIndex={0} role="region" aria-label={t("traces")}>
        <table>
          <thead><tr><th>{t("strand")}</th><th class="n">{t("trace.wavelengths")}</th><th>{t("trace.directions")}</th><th class="n">{t("length")}</th><th class="n">{t("trace.sum")}</th><th>{t("trace.beside-meter")}</th><th class="n">{t("trace.beyond")}</th></tr></thead>
          <tbody>
            {fitting.slice(0, 500).map((line) => (
              <tr key={`${line.link} ${line.strand} ${line.wavelength_nm}`}>
                <td><a class="target" href={href(job, "traces", { link: line.link, strand: line.strand })}>{line.link} <Chip strand={line.strand} /></a></td>
                <td class="n">{nanometres(line.wavelength_nm)}</td>
                <td>{[line.from_a && "A→B", line.from_b && "B→A"].filter(Boolean).join(", ")}</td>
                <td class="n">{length(line.length_m)}{line.length_differs && " ≠"}</td>
                <td class="n">{decibels(line.sum_db)}</td>
                <td>{line.broken ? `✕ ${t("trace.broken")}` : agreementShape[line.agreement] + " " + t(`trace.agreement.${line.agreement.replaceAll(" ", "-")}` as Key)}</td>
                <td class="n">{line.splices_beyond > 0 ? `✕ ${line.splices_beyond}` : "·"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

export function Traces() {
  const { job, query } = route.value;
  const [link, strand] = [query.get("link") ?? "", query.get("strand") ?? ""];
  const path = `${jobPath(job)}/traces?${new URLSearchParams({ link, strand }).toString()}`;
  const { answer, failure } = useAnswer(() => get<Schemas["Traces"]>(path), `${path} ${revision.value}`);
  const names = [...new Map((answer?.strands ?? []).map((line) => [`${line.link} ${line.strand}`, line])).values()];
  const at = names.findIndex((line) => line.link === link && line.strand === strand);
  const step = (by: number) => { const next = names[at + by]; if (next) go(href(job, "traces", { link: next.link, strand: next.strand })); };
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{strand ? <>{link} <Chip strand={strand} /></> : t("traces")}</h1>
      {strand && <p class="buttons"><a class="button" href={href(job, "traces")}>← {t("traces")}</a>
        <button disabled={at <= 0} onClick={() => step(-1)}>← {t("strand")}</button><button disabled={at < 0 || at + 1 >= names.length} onClick={() => step(1)}>{t("strand")} →</button></p>}
      <Wrong failure={failure} />
      {!answer && !failure && <p>{t("loading")}</p>}
      {answer && strand && answer.judged.length > 0 && <Whole key={`${link} ${strand}`} groups={answer.judged} link={link} strand={strand} others={names.filter((line) => line.link === link && line.strand !== strand)} />}
      {answer && strand && answer.judged.length === 0 && <p class="card">{t("trace.none-here")}</p>}
      {answer && !strand && <List lines={answer.strands} />}
      <Cautions kinds={["light"]} />
    </main>
  );
}
