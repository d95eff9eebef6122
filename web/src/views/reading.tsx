import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { drawn, map, revision } from "../api/live";
import { get, jobPath, root, send, Trouble } from "../api/client";
import { giveUp, record, waiting, type NewReading } from "../api/queue";
import { age, arrow, decibels, level, moment, nanometres, preferences, typed } from "../model/format";
import { markSent, nextDue, type Due } from "../model/map";
import type { Outcome, Schemas, Test } from "../model/outcome";
import { href, route } from "../model/route";
import { said, t } from "../model/texts";
import { uuid } from "../model/uuid";
import { BudgetBar, Cautions, Chip, Choice, Mark, useAnswer, word, Wrong } from "./parts";

type Kind = "power" | "loss";
interface Said { outcome: Outcome | null; words: string; due: Due }

const keys = ["7", "8", "9", "4", "5", "6", "1", "2", "3", "−", "0", "."];

export function Reading() {
  const all = map.value;
  const cells = drawn.value;
  const { job, query } = route.value;
  const [due, setDue] = useState<Due | null>(null);
  const [byWavelength, setByWavelength] = useState(false);
  const [panel, setPanel] = useState(false);
  const [kind, setKind] = useState<Kind>("power");
  const [text, setText] = useState("");
  const [preview, setPreview] = useState<Test | null>(null);
  const [last, setLast] = useState<Said | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const box = useRef<HTMLElement>(null);
  const asked = useRef(0);
  const { answer: references } = useAnswer(() => get<Schemas["References"]>(`${jobPath(job)}/references`), revision.value);
  const { answer: recent, again } = useAnswer(() => get<Schemas["RecentReadings"]>(`${jobPath(job)}/readings?limit=8`), revision.value);
  const { answer: meters } = useAnswer(() => get<Schemas["Instrument"][]>(`${root}/instruments`), job);

  // The first due test, or the strand the person came from.
  useEffect(() => {
    if (!all || due) return;
    const named = all.map.strands.findIndex((name, i) => name === query.get("strand")
      && [all.map.links[all.linkOf[i]!]!.link, all.map.links[all.linkOf[i]!]!.cable].includes(query.get("link") ?? ""));
    setDue(named >= 0 ? { strand: named, column: Math.max(0, all.cells.findIndex((column) => column[named] !== 255)) } : nextDue(all, null, byWavelength, null));
  }, [all]);

  const link = all && due ? all.map.links[all.linkOf[due.strand]!] : undefined;
  const column = all && due ? all.map.columns[due.column] : undefined;
  const strand = all && due ? all.map.strands[due.strand]! : "";
  const path = link ? `${jobPath(job)}/strand?${new URLSearchParams({ link: link.link || link.cable, strand }).toString()}` : "";
  const { answer: view } = useAnswer(() => (path ? get<Schemas["StrandView"]>(path) : Promise.resolve(null)), `${path} ${cells}`);
  // Where a column stands for either direction, a strand may still demand both: the one without a reading is due.
  const planned = useMemo(() => {
    const tests = view?.tests.filter((test) => test.wavelength_nm === column?.wavelength_nm && (!column?.direction || test.direction === column.direction)) ?? [];
    return tests.find((test) => test.outcome === "not tested") ?? tests[0];
  }, [view, column]);
  const direction = column?.direction ?? planned?.direction ?? null;
  const value = typed(text);
  const reference = references?.references.filter((each) => each.kind === "opening" && Math.abs(each.wavelength_nm - (column?.wavelength_nm ?? 0)) < 1 && each.state !== "superseded").at(-1);

  const body = (dark: boolean): NewReading => ({
    entry: uuid(), link: link!.link || link!.cable, strand, wavelength_nm: column!.wavelength_nm ?? 0,
    direction, time: new Date().toISOString().slice(0, 19) + "Z", operator: preferences.value.person,
    source: reference?.source ?? null, meter: reference?.meter ?? null, cords: reference?.cords ?? null,
    ...(dark ? { no_light: true } : kind === "power" ? { power_dbm: value! } : { loss_db: value! }),
  });

  useEffect(() => {
    setPreview(null);
    if (value === null || !link || !column) return;
    const mine = ++asked.current;
    const { entry: _, ...typedNow } = body(false);
    send<Schemas["Preview"]>("POST", `${jobPath(job)}/preview`, typedNow).then(
      (got) => { if (mine === asked.current) { setPreview(got.test); setWrong(null); } },
      (trouble) => { if (mine === asked.current && !(trouble as Trouble).away) setWrong(trouble); });
  }, [text, kind, path, column]);

  const advance = (from: Due | null) => {
    if (!all) return;
    setText("");
    setPreview(null);
    setWrong(null);
    setDue(nextDue(all, from, byWavelength, panel && from ? all.linkOf[from.strand]! : null));
  };
  const keep = async (dark: boolean) => {
    if (!due || !link || !column || (!dark && value === null)) return;
    const reading = body(dark);
    const here = due;
    try {
      const kept = await record(job, reading);
      const outcome = kept?.test?.outcome ?? null;
      setLast({ outcome, due: here, words: !kept ? t("read.keep") : t("read.kept", { outcome: outcome ? word(outcome) : "–" }) });
      navigator.vibrate?.(outcome === "fail" ? [80, 60, 80] : 30);
      again();
    } catch (trouble) {
      setWrong(trouble);
    }
    if (all) markSent(all, here);
    advance(here);
  };
  // Keys may come faster than the screen is drawn: each builds on the text as it is then.
  const press = (key: string) => setText((now) => {
    if (key === "Backspace") return now.slice(0, -1);
    if (key === "−" || key === "-") return now.startsWith("-") ? now.slice(1) : `-${now}`;
    if (key === "," || key === ".") return now.includes(".") ? now : `${now}${/\d$/.test(now) ? "" : "0"}.`;
    return /^\d$/.test(key) && now.length < 8 ? now + key : now;
  });
  useEffect(() => {
    const hardware = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement;
      if (target.closest("input, select, dialog, textarea") || event.ctrlKey || event.metaKey || event.altKey) return;
      if (event.key === "Enter" && !target.closest("button, a, summary")) void keep(false);
      else if (/^[\d.,-]$|^Backspace$/.test(event.key)) press(event.key);
      else return;
      event.preventDefault();
    };
    addEventListener("keydown", hardware);
    return () => removeEventListener("keydown", hardware);
  });
  const readMeter = async (name: string) => {
    try {
      const got = await send<Schemas["MeterReading"]>("POST", `${root}/instruments/read`, { name, set_wavelength_nm: column?.wavelength_nm ?? null });
      setKind("power");
      setText(got.power_dbm.toFixed(2));
    } catch (trouble) { setWrong(trouble); }
  };
  const undo = async () => {
    const newest = recent?.readings[0];
    if (!newest) return;
    try {
      await send("POST", `${jobPath(job)}/withdrawals`, { fact: newest.fact, person: preferences.value.person, reason: t("read.undo.reason") });
      setLast(null);
      again();
    } catch (trouble) { setWrong(trouble); }
  };
  const refused = waiting.value.filter((one) => one.refused && one.job === job);

  return (
    <main id="content" class="page reading" tabIndex={-1} ref={box}>
      <h1 class="quiet">{t("reading")}</h1>
      {!all && <p>{t("loading")}</p>}
      {all && !due && <p class="card">{t("read.none")} <a href={href(job, "map")}>{t("map")}</a></p>}
      {due && link && column && (
        <section class="card due" aria-labelledby="due">
          <p class="small">{t("read.next")}</p>
          <h2 id="due">{link.link || link.cable} <Chip strand={strand} /></h2>
          <p class="where"><b>{nanometres(column.wavelength_nm)}</b> <b>{arrow(direction)}</b> {link.end_a && <span>{link.end_a} → {link.end_b}</span>}</p>
          <p class={`reference ${reference ? reference.state.replace(" ", "-") : "missing"}`}>
            {reference
              ? <>{t("read.reference")} {reference.reference ?? ""}: {level(reference.power_dbm)}, <b>{said("ref", reference.state, reference.state)}</b>, {t("ref.age", { age: age(reference.age_s) })}</>
              : <a href={href(job, "references")}>{t("read.noreference")}</a>}
            {" · "}{t("limit")} {decibels(planned?.limit_db)}
          </p>
          <output class="typed" aria-label={t("read.typed")} aria-live="off">{text ? (preferences.value.comma ? text.replace(".", ",") : text).replace("-", "−") : " "}<small>{kind === "power" ? "dBm" : "dB"}</small></output>
          <div class="verdict" role="status" aria-live="polite">
            {preview ? <><Mark outcome={preview.outcome} /> {preview.loss_db != null && <b>{decibels(preview.loss_db)}</b>} {preview.reason && said("reason", preview.reason_code, preview.reason)}</> : <span>{"\u00a0"}</span>}
          </div>
          {(preview ?? planned) && <BudgetBar test={(preview ?? planned)!} wide />}
          <Wrong failure={wrong} />
          <div class="keypad">
            {keys.map((key) => <button key={key} onClick={() => press(key)}>{key === "." && preferences.value.comma ? "," : key}</button>)}
            <button onClick={() => press("Backspace")} aria-label={t("read.delete")}>⌫</button>
            <button onClick={() => void keep(true)}>{t("read.dark")}</button>
            <button onClick={() => advance(due)}>{t("read.skip")}</button>
            <button class="strong record" disabled={value === null} onClick={() => void keep(false)}>{t("read.record")}</button>
            {meters?.map((meter) => <button key={meter.name} class="meter" onClick={() => void readMeter(meter.name)}>{t("read.meter")}: {meter.name}</button>)}
          </div>
        </section>
      )}
      <section class="beside">
        {last && (
          <div class={`card said ${last.outcome ?? ""}`} role="status">
            {last.outcome && <Mark outcome={last.outcome} />} {last.words}
            {last.outcome && last.outcome !== "pass" && (
              <><p>{t("read.fail")}</p><button class="strong" onClick={() => { setText(""); setDue(last.due); setLast(null); }}>{t("read.again")}</button></>
            )}
          </div>
        )}
        {refused.map((one) => (
          <div key={one.entry} class="wrong">{one.reading.link} {one.reading.strand}: {t("read.refused", { why: one.refused ?? "" })} <button onClick={() => void giveUp(one.entry)}>{t("withdraw")}</button></div>
        ))}
        <Choice label={t("read.kind")} value={kind} choose={(next) => setKind(next as Kind)} options={[["power", t("read.level")], ["loss", t("read.loss")]]} />
        <Choice label={t("read.order")} value={byWavelength ? "w" : "s"} choose={(order) => setByWavelength(order === "w")} options={[["s", t("read.by-strand")], ["w", t("read.by-wavelength")]]} />
        <label class="tick"><input type="checkbox" checked={panel} onChange={(event) => setPanel(event.currentTarget.checked)} /> {t("read.panel")}</label>
        <Cautions kinds={["light", "glass", "solvent"]} />
        <h2>{t("read.last")}</h2>
        <ol class="history">
          {recent?.readings.map((reading, i) => (
            <li key={reading.fact}>
              <a href={href(job, "strand", { link: reading.link, strand: reading.strand })}>{reading.link} {reading.strand}</a> {nanometres(reading.wavelength_nm)} {arrow(reading.direction)}{" "}
              {reading.no_light ? t("read.dark") : reading.power_dbm != null ? level(reading.power_dbm) : decibels(reading.loss_db)} {reading.outcome && <Mark outcome={reading.outcome} />}
              <span class="small"> {reading.operator} {moment(reading.time)}</span>
              {i === 0 && <button onClick={() => void undo()}>{t("read.undo")}</button>}
            </li>
          ))}
        </ol>
      </section>
    </main>
  );
}
